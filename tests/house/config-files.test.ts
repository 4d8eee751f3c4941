import { describe, expect, it } from 'vitest';
import { parseDocument } from 'yaml';
import { textOf, trackedFiles } from './project-files.ts';

const files = trackedFiles().filter((file) => /^config\/.*\.ya?ml$/.test(file));

describe('the configuration', () => {
  it('has files', () => {
    expect(files.length).toBeGreaterThan(0);
  });

  it.each(files)('%s is YAML with each key once, and says something', (file) => {
    const document = parseDocument(textOf(file), { uniqueKeys: true, prettyErrors: true });
    expect([...document.errors, ...document.warnings].map((problem) => problem.message)).toEqual([]);
    expect(document.toJS()).toEqual(expect.any(Object));
  });
});
