import { describe, expect, it } from 'vitest';
import { textOf, trackedFiles } from './project-files.ts';

const THIS_FILE = 'tests/house/words.test.ts';
const NOT_TEXT = /\.(png|jpg|ico|woff2?|gz|bin)$/;
const ANY_FILE = /./;

/** What no file may say, with the reason and an example that proves the pattern. */
const FORBIDDEN = [
  {
    what: 'a path of one machine',
    pattern: /(?<![\w.~}*-])\/(work|root|home|tmp|Users)\/\w/,
    where: ANY_FILE,
    example: "open('/home/anna/plant.yaml')",
  },
  {
    what: 'the host of a package registry',
    pattern: /registry\.[a-z]+js\.org|deb\.debian\.org|registry\.yarn/i,
    where: ANY_FILE,
    example: 'https://registry.npmjs.org/fastify',
  },
  {
    what: 'a test that is left out, or alone',
    pattern: /\b(it|test|describe|suite)\.(only|skip|todo)\b/,
    where: /^tests\/.*\.tsx?$/,
    example: "it.skip('is for later')",
  },
  {
    what: 'a lint rule that is switched off without a reason',
    pattern: /eslint-disable(?!.* -- \w)/,
    where: /\.(ts|tsx|js|mjs)$/,
    example: '// eslint-disable-next-line complexity',
  },
  {
    what: 'a compiler error that is hidden',
    pattern: /@ts-(ignore|nocheck|expect-error)/,
    where: /^(server|client|simulator)\/.*\.(ts|tsx|mjs)$/,
    example: '// @ts-ignore',
  },
  {
    what: 'a note of work not done',
    pattern: /\b(TODO|FIXME|XXX)\b/,
    where: /\.(ts|tsx|js|mjs|css|md|yaml)$/,
    example: '// TODO later',
  },
] as const;

describe('no file of the project says', () => {
  const files = trackedFiles().filter((file) => file !== THIS_FILE && !NOT_TEXT.test(file));

  it.each(FORBIDDEN)('$what', ({ pattern, where }) => {
    const searched = files.filter((file) => where.test(file));
    expect(searched.length).toBeGreaterThan(10);
    const found = searched.flatMap((file) =>
      textOf(file)
        .split('\n')
        .flatMap((line, index) => (pattern.test(line) ? [`${file}:${index + 1}: ${line.trim()}`] : [])),
    );
    expect(found).toEqual([]);
  });

  it.each(FORBIDDEN)('$what, which would be found', ({ pattern, example }) => {
    expect(example).toMatch(pattern);
  });
});
