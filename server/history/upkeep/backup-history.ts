import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  mkdirSync,
  openSync,
  renameSync,
  rmSync,
} from 'node:fs';
import { join } from 'node:path';
import { HISTORY_FILE, openHistoryFile } from '../engine/history-file.ts';
import { ownedFolder } from '../engine/owner-lock.ts';
import { StoreFault } from '../store-fault.ts';
import { checkHistory, type CheckResult } from './check-history.ts';

/**
 * Copies the history as it is at one instant into another folder, while the server goes on recording: one read
 * transaction, so journal and chunks fit together. The copy is proved before it gets its name.
 */
export function backupHistory(folder: string, target: string): CheckResult {
  const copy = join(target, HISTORY_FILE);
  if (existsSync(copy)) throw inTheWay(copy, 'back up into an empty folder');
  mkdirSync(target, { recursive: true });
  const partFolder = join(target, 'unfinished');
  rmSync(partFolder, { recursive: true, force: true });
  mkdirSync(partFolder);
  const part = join(partFolder, HISTORY_FILE);
  const file = openHistoryFile(folder, { isReadOnly: true });
  try {
    file.run('VACUUM INTO ?', part);
  } finally {
    file.close();
  }
  flush(part);
  const result = expectSound(partFolder);
  renameSync(part, copy);
  flush(target);
  rmSync(partFolder, { recursive: true });
  return result;
}

/**
 * Puts a backup in the place of the history; no server may be running. What was there is kept beside it under the
 * name that is returned, or null when nothing was there.
 */
export function restoreHistory(backup: string, folder: string, nowMs: number): string | null {
  expectSound(backup);
  const lock = ownedFolder(folder);
  try {
    const place = join(folder, HISTORY_FILE);
    const part = `${place}.restoring`;
    copyFileSync(join(backup, HISTORY_FILE), part);
    flush(part);
    const kept = existsSync(place) ? `${place}.before-restore-${nowMs}` : null;
    // Its last commits may still stand in the files beside it, so these move along.
    if (kept !== null) for (const ending of ['-wal', '-shm', '']) moveIfThere(place + ending, kept + ending);
    renameSync(part, place);
    flush(folder);
    return kept;
  } finally {
    lock.release();
  }
}

function expectSound(folder: string): CheckResult {
  const result = checkHistory(folder, { repairs: false });
  const [page] = result.pages;
  if (page === undefined && result.damage.length === 0) return result;
  const got = page ?? `${result.damage.length} damaged parts`;
  const remedy = 'run check-history --repair on the history first, then back it up again';
  throw new StoreFault('HISTORY_DAMAGED', {
    subject: folder,
    got,
    expected: 'a history without damage',
    remedy,
  });
}

function inTheWay(got: string, remedy: string): StoreFault {
  return new StoreFault('DATA_FOLDER', {
    subject: 'target folder',
    got,
    expected: 'no history in it',
    remedy,
  });
}

function moveIfThere(from: string, to: string): void {
  if (existsSync(from)) renameSync(from, to);
}

function flush(path: string): void {
  const handle = openSync(path, 'r');
  fsyncSync(handle);
  closeSync(handle);
}
