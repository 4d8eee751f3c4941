import { mkdirSync, mkdtempSync, readFileSync, rmdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LogFile } from '#server/pipeline/log-file.ts';
import { eventually } from '#tests/support/eventually.ts';

let folder: string;
let file: string;
let elsewhere: string[];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sievewright-log-'));
  file = join(folder, 'server.log');
  elsewhere = [];
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

function opened(more: { readonly bytesMax?: number } = {}): LogFile {
  return new LogFile({ file, elsewhere: (text) => void elsewhere.push(text), retryMs: 20, ...more });
}

const linesOf = (path: string) => readFileSync(path, 'utf8').split('\n').slice(0, -1);

describe('LogFile', () => {
  it('writes every line in order, and goes on where an earlier log ended', async () => {
    for (const part of ['a', 'b']) {
      const log = opened();
      for (let i = 0; i < 300; i += 1) log.write(`${part} ${i}\n`);
      await log.close();
    }
    const expected = ['a', 'b'].flatMap((part) => Array.from({ length: 300 }, (_, i) => `${part} ${i}`));
    expect(linesOf(file)).toEqual(expected);
    expect(elsewhere).toEqual([]);
  });

  it('takes lines while the file cannot be written, shows them elsewhere, and writes them when it can', async () => {
    // A folder in the place of the file: it cannot be opened for writing, by whatever user.
    mkdirSync(file);
    const log = opened();
    log.write('one\n');
    await eventually('the refusal is told', () => elsewhere.length === 2);
    log.write('two\n');
    expect(elsewhere[0]).toMatch(
      /^LOG_UNWRITABLE .*server\.log: got EISDIR.*, expected a file that takes lines; its lines follow here, and are written there as soon as it takes them\n$/,
    );
    expect(elsewhere.slice(1)).toEqual(['one\n', 'two\n']);
    rmdirSync(file);
    await eventually('it is written', () => readOrNothing().length === 2);
    log.write('three\n');
    await log.close();
    expect(linesOf(file)).toEqual(['one', 'two', 'three']);
    expect(elsewhere).toHaveLength(3);
  });

  it('keeps the newest lines of a long trouble, and says how many it lost', async () => {
    mkdirSync(file);
    const log = opened();
    for (let i = 0; i < 5003; i += 1) log.write(`${i}\n`);
    await eventually('the refusal is told', () => elsewhere.length > 0);
    rmdirSync(file);
    await log.close();
    const lines = linesOf(file);
    expect(lines[0]).toBe('3');
    expect(lines.at(-1)).toBe('5002');
    expect(lines.filter((line) => line.includes('3 lines of this log were lost'))).toHaveLength(1);
  });

  it('sets a full file aside and begins another', async () => {
    const log = opened({ bytesMax: 1000 });
    for (let i = 0; i < 400; i += 1) log.write(`${i} `.padEnd(19, '.') + '\n');
    await log.close();
    expect(linesOf(`${file}.1`).length).toBeGreaterThan(0);
    expect(linesOf(file).at(-1)).toMatch(/^399 /);
  });
});

function readOrNothing(): readonly string[] {
  try {
    return linesOf(file);
  } catch {
    return [];
  }
}
