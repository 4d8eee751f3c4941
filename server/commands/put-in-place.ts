import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  readFileSync,
  renameSync,
} from 'node:fs';
import { dirname } from 'node:path';

/** Copies a file and waits until the disk has it. */
export function copyDurably(from: string, to: string): void {
  copyFileSync(from, to);
  const handle = openSync(to, 'r+');
  fsyncSync(handle);
  closeSync(handle);
}

/**
 * Puts a copy of a file in the place of another, whole or not at all. What was there is kept beside it under the name
 * that is returned; null when nothing was there, or the same. `companions` are endings of files that belong to it.
 */
export function putInPlace(
  from: string,
  place: string,
  { nowMs, companions }: { readonly nowMs: number; readonly companions: readonly string[] },
): string | null {
  const isThere = existsSync(place);
  if (isThere && companions.length === 0 && readFileSync(place).equals(readFileSync(from))) return null;
  mkdirSync(dirname(place), { recursive: true });
  const part = `${place}.restoring`;
  copyDurably(from, part);
  const kept = isThere ? `${place}.before-restore-${nowMs}` : null;
  for (const ending of [...companions, '']) {
    if (kept !== null && existsSync(place + ending)) renameSync(place + ending, kept + ending);
  }
  renameSync(part, place);
  return kept;
}
