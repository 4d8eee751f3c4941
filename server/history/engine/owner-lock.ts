import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { StoreFault } from '../store-fault.ts';
import { openSqliteFile, type SqliteFile } from './sqlite-file.ts';

/** Held as long as the store is open. */
export interface OwnerLock {
  release(): void;
}

const LOCK_FILE = 'history.lock';

/**
 * Makes the folder and takes it for this process. The lock is a transaction in a small file of its own: the
 * operating system ends it with the process, whatever ends the process, and readers of the history are not kept out.
 */
export function ownedFolder(folder: string): OwnerLock {
  const path = join(folder, LOCK_FILE);
  let file: SqliteFile | null = null;
  try {
    mkdirSync(folder, { recursive: true });
    file = openSqliteFile({ path, isReadOnly: false, busyMs: 0 });
    file.exec('PRAGMA journal_mode = MEMORY');
    file.exec('BEGIN EXCLUSIVE');
    const held = file;
    return { release: () => held.close() };
  } catch (error) {
    file?.close();
    const got = error instanceof Error ? error.message : String(error);
    const expected = 'a folder that can be written and that no other process records into';
    const remedy = 'stop the other server, or choose another data folder; the history is not opened';
    throw new StoreFault('DATA_FOLDER', { subject: path, got, expected, remedy }, { cause: error });
  }
}
