import { Fault } from '../contract/faults.ts';
import { openDatabase, type Database } from './database.ts';
import { expectReadable } from './migrations.ts';

/** Copies the records as they are at one instant, while the server goes on writing; the copy is proved. */
export function backUpRecords(file: string, copy: string): void {
  const database = openDatabase(file, { isReadOnly: true });
  try {
    expectReadable(database, file);
    copyInto(database, copy);
  } finally {
    database.close();
  }
  expectSoundRecords(copy);
}

/** A failure here is most often one of the folder that the copy goes to: it is not told as one of the records. */
function copyInto(database: Database, copy: string): void {
  try {
    database.run('VACUUM INTO ?', [copy]);
  } catch (error) {
    throw error instanceof Fault ? error.cause : error;
  }
}

/**
 * Refuses a file that is not a whole records file which this program can read.
 *
 * @throws Fault RECORDS_DAMAGED, RECORDS_NEWER or RECORDS_UNWRITABLE
 */
export function expectSoundRecords(file: string): void {
  const database = openDatabase(file, { isReadOnly: true });
  try {
    expectReadable(database, file);
    const [found] = database.rows('PRAGMA integrity_check(1)');
    const got = String(found?.['integrity_check']);
    if (got === 'ok') return;
    const remedy = 'restore or keep another backup';
    throw new Fault('RECORDS_DAMAGED', { subject: file, got, expected: 'pages that fit together', remedy });
  } finally {
    database.close();
  }
}
