import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';

/** A folder outside the project with the given files in it. The test removes it. */
export function temporaryTree(files: Readonly<Record<string, string>>): {
  folder: string;
  remove: () => void;
} {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'sievewright-house-'));
  for (const [file, text] of Object.entries(files)) {
    const target = path.join(folder, file);
    mkdirSync(path.dirname(target), { recursive: true });
    writeFileSync(target, text);
  }
  return {
    folder,
    remove: () => {
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
