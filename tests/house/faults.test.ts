import { describe, expect, it } from 'vitest';
import { FAULTS } from '#server/contract/faults.ts';
import { FAULT_CODES } from '#simulator/fault.ts';
import { textOf, trackedFiles } from './project-files.ts';

/** A code in a row of the table of errors: "| `CODE` | ... |". */
const LISTED = /^\| `([A-Z]+(?:_[A-Z]+)+)` +\|/gm;
/** A code where a message begins, in the making of a fault or in a message as it is written. */
const RAISED = [
  /Fault\(\s*['"]([A-Z]+(?:_[A-Z]+)+)['"]/g,
  /\bcode: ['"]([A-Z]+(?:_[A-Z]+)+)['"]/g,
  /['"`]([A-Z]+(?:_[A-Z]+)+) [^\n]*: got /g,
];

function codesIn(text: string, pattern: RegExp): readonly string[] {
  return [...text.matchAll(pattern)].map((match) => match[1] ?? '');
}

describe('the list of errors', () => {
  // The plant shares nothing with the server, so it has a list of its own.
  const codes = [...Object.keys(FAULTS), ...FAULT_CODES].toSorted();

  it('is the same in DEVELOPERS.md and in the code, each code once', () => {
    expect(codesIn(textOf('DEVELOPERS.md'), LISTED).toSorted()).toEqual(codes);
  });

  it('has a sentence for each code', () => {
    const wrong = Object.entries(FAULTS).filter(([, sentence]) => !/^[A-Z].{15,}\.$/.test(sentence));
    expect(wrong).toEqual([]);
  });

  it('has every code that a message in the code begins with', () => {
    const sources = trackedFiles().filter((file) =>
      /^(server|client|simulator)\/.*\.(ts|tsx|mjs)$/.test(file),
    );
    const raised = sources.flatMap((file) =>
      RAISED.flatMap((pattern) => codesIn(textOf(file), pattern)).map((code) => ({ file, code })),
    );
    expect(raised.length).toBeGreaterThan(20);
    expect(raised.filter(({ code }) => !codes.includes(code))).toEqual([]);
  });
});
