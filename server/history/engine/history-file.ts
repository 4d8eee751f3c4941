import { join } from 'node:path';
import { StoreFault } from '../store-fault.ts';
import { expectLayout, prepareFile } from './schema.ts';
import { openSqliteFile, sqliteCode, type SqliteFile } from './sqlite-file.ts';

export const HISTORY_FILE = 'history.sqlite';

/** Another process may read or back up meanwhile, and hold the file for a moment. */
const BUSY_MS = 5000;

/** Of this layout and ready for work, or a fault that says what is wrong with it. */
export function openHistoryFile(
  folder: string,
  { isReadOnly }: { readonly isReadOnly: boolean },
): SqliteFile {
  const path = join(folder, HISTORY_FILE);
  let file: SqliteFile | null = null;
  try {
    file = openSqliteFile({ path, isReadOnly, busyMs: BUSY_MS });
    if (isReadOnly) expectLayout(file, path);
    else prepareFile(file, path);
    return file;
  } catch (error) {
    file?.close();
    throw sqliteCode(error) === null ? error : unusable(path, error);
  }
}

function unusable(path: string, error: unknown): StoreFault {
  const got = error instanceof Error ? error.message : String(error);
  const remedy = 'check folder, rights and free space, or restore a backup; the history is not opened';
  return new StoreFault(
    'DATA_FOLDER',
    { subject: path, got, expected: 'a history file', remedy },
    { cause: error },
  );
}
