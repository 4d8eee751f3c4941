import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { toFile } from '#server/commands/written-whole.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'sievewright-export-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

async function* body(parts: readonly string[], error?: Error): AsyncGenerator<Uint8Array> {
  for (const part of parts) {
    await Promise.resolve();
    yield Buffer.from(part);
  }
  if (error !== undefined) throw error;
}

describe('toFile', () => {
  it('writes all parts in order and says how many bytes they are', async () => {
    const file = join(folder, 'it.csv');
    expect(await toFile(body(['one,', 'two']), file)).toBe(7);
    expect(readFileSync(file, 'utf8')).toBe('one,two');
  });

  it('leaves neither a part nor a touched older file behind when the body breaks off', async () => {
    const file = join(folder, 'it.csv');
    await toFile(body(['older']), file);
    await expect(toFile(body(['half'], new Error('broken')), file)).rejects.toThrow('broken');
    expect(readFileSync(file, 'utf8')).toBe('older');
    expect(readdirSync(folder)).toEqual(['it.csv']);
  });

  it('names the file that cannot be written', async () => {
    const file = join(folder, 'nowhere', 'it.csv');
    await expect(toFile(body(['x']), file)).rejects.toThrow(
      /^ARGUMENT_INVALID .*it\.csv: got ENOENT.*, expected a file that can be written in full; nothing is left of it; make room, or name another with --out$/,
    );
    expect(existsSync(join(folder, 'nowhere'))).toBe(false);
  });
});
