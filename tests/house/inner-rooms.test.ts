import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PROJECT_ROOT, runScript } from './run-tool.ts';
import { temporaryTree } from './temporary-tree.ts';

const COMPILER = 'node_modules/typescript/bin/tsc';

/** Names of Node and of the browser, and what an inner room may well use. */
const UNKNOWN_NAMES = [
  'process',
  'console',
  'setTimeout',
  'setInterval',
  'performance',
  'Buffer',
  'fetch',
  'crypto',
  'document',
  'window',
  'localStorage',
];
const KNOWN_NAMES = ['Math', 'Map', 'Float64Array'];

describe('the compiler, for the inner rooms', () => {
  const names = [...UNKNOWN_NAMES, ...KNOWN_NAMES];
  const inServer = (folder: string) => path.join(PROJECT_ROOT, 'server', folder);
  const tree = temporaryTree({
    'reaches-out.ts': names.map((name) => `export const uses_${name} = ${name};`).join('\n'),
    'tsconfig.json': JSON.stringify({
      extends: inServer('tsconfig.inner.json'),
      // With the rooms themselves and all that they import: a package's types could bring Node's names along.
      include: ['reaches-out.ts', ...['calc', 'line', 'alarms', 'machines'].map(inServer)],
    }),
  });
  let refused: readonly string[] = [];
  beforeAll(async () => {
    const { output } = await runScript(COMPILER, ['-p', tree.folder]);
    refused = [...output.matchAll(/reaches-out\.ts\(\d+,\d+\): error TS\d+: Cannot find name '(\w+)'/g)].map(
      (match) => match[1] ?? '',
    );
  });
  afterAll(tree.remove);

  it.each(UNKNOWN_NAMES)('knows no %s', (name) => {
    expect(refused).toContain(name);
  });

  it.each(KNOWN_NAMES)('knows %s', (name) => {
    expect(refused).not.toContain(name);
  });
});
