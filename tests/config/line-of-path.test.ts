import { describe, expect, it } from 'vitest';
import { LineCounter, parseDocument } from 'yaml';
import { lineOfPath } from '#server/config/line-of-path.ts';

const TEXT = `rules:
  - id: a.dryer
    subject: x
  - id: a.dryer.hot
    subject: y
    armed: &hot
      after: 1
  - id: a.cold
    armed: *hot
`;
const lines = new LineCounter();
const document = parseDocument(TEXT, { lineCounter: lines });
const lineOf = (path: string) => lineOfPath(document, lines, path);

describe('lineOfPath', () => {
  it('finds an entry of a list by its id, though the id holds dots', () => {
    expect(lineOf('rules.a.dryer.subject')).toBe(3);
  });

  it('takes the longest id that fits', () => {
    expect(lineOf('rules.a.dryer.hot.subject')).toBe(5);
  });

  it('goes where an alias points', () => {
    expect(lineOf('rules.a.cold.armed.after')).toBe(7);
  });

  it('is the line of the deepest part that is there, and the first line where there is none', () => {
    expect(lineOf('rules.a.cold.card')).toBe(8);
    expect(lineOf('cards')).toBe(1);
  });
});
