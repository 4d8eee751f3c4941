import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

/** A folder for the files of one test file, gone when its tests are done; each call names a new file. */
export function recordsFolder(): () => string {
  const folder = mkdtempSync(join(tmpdir(), 'records-'));
  let named = 0;
  afterAll(() => rmSync(folder, { recursive: true }));
  return () => join(folder, `records-${named++}.sqlite`);
}
