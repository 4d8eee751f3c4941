import { DatabaseSync, type SQLInputValue, type SQLOutputValue, type StatementSync } from 'node:sqlite';
import { Fault } from '../contract/faults.ts';

/** A value that fits a column. */
export type ColumnValue = SQLInputValue;
export type Row = Readonly<Record<string, SQLOutputValue>>;

/**
 * The one file that knows the SQLite of Node, which is a release candidate whose main class is being renamed.
 * Everything is synchronous: the records are few, and a commit takes less than a millisecond.
 */
export interface Database {
  /** Runs the writes inside as one: durable when this returns, undone when it throws. */
  together<Result>(work: () => Result): Result;
  /** Answers with the id of the row that an INSERT made. */
  run(sql: string, values?: readonly ColumnValue[]): number;
  rows(sql: string, values?: readonly ColumnValue[]): readonly Row[];
  /** Several statements without values, for migrations. */
  script(sql: string): void;
  close(): void;
}

/** How long to wait for another program, such as a backup, that holds the file. */
const BUSY_MS = 1000;
const PAGE_BYTES = 4096;

export interface DatabaseOptions {
  /** Beside the program that writes: nothing is made or changed. */
  readonly isReadOnly?: boolean;
}

export function openDatabase(file: string, { isReadOnly = false }: DatabaseOptions = {}): Database {
  const sqlite = saying(file, () => (isReadOnly ? fileToRead(file) : openedFile(file)));
  const statements = new Map<string, StatementSync>();

  function prepared(sql: string): StatementSync {
    const known = statements.get(sql);
    if (known !== undefined) return known;
    const statement = sqlite.prepare(sql);
    statements.set(sql, statement);
    return statement;
  }

  return {
    together: (work) => saying(file, () => inTransaction(sqlite, work)),
    run: (sql, values = []) => saying(file, () => Number(prepared(sql).run(...values).lastInsertRowid)),
    rows: (sql, values = []) => saying(file, () => prepared(sql).all(...values)),
    script: (sql) => saying(file, () => sqlite.exec(sql)),
    close() {
      if (!sqlite.isOpen) return;
      statements.clear();
      sqlite.close();
    },
  };
}

function fileToRead(file: string): DatabaseSync {
  return new DatabaseSync(file, { timeout: BUSY_MS, readOnly: true });
}

function openedFile(file: string): DatabaseSync {
  const sqlite = new DatabaseSync(file, { timeout: BUSY_MS, enableForeignKeyConstraints: true });
  try {
    sqlite.exec(`PRAGMA page_size = ${PAGE_BYTES}; PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL`);
    return sqlite;
  } catch (error) {
    sqlite.close();
    throw error;
  }
}

function inTransaction<Result>(sqlite: DatabaseSync, work: () => Result): Result {
  sqlite.exec('BEGIN IMMEDIATE');
  try {
    const result = work();
    sqlite.exec('COMMIT');
    return result;
  } catch (error) {
    // SQLite itself has ended the transaction after some failures, such as a full disk.
    if (sqlite.isTransaction) sqlite.exec('ROLLBACK');
    throw error;
  }
}

/** What SQLite reports when the file or the disk is at fault, by the numbers of its result codes. */
const OUTSIDE_FAILURES: ReadonlyMap<number, string> = new Map([
  [3, 'no permission'],
  [5, 'a file that another program keeps locked'],
  [8, 'a file that may only be read'],
  [10, 'a disk that does not answer'],
  [11, 'a damaged file'],
  [13, 'a full disk'],
  [14, 'a file that cannot be opened'],
  [26, 'a file of another kind'],
]);

/** A failure of the outside world becomes a fault that a person can act on; anything else is a bug and stays one. */
function saying<Result>(file: string, work: () => Result): Result {
  try {
    return work();
  } catch (error) {
    const got = outsideFailure(error);
    if (got === undefined) throw error;
    throw new Fault(
      'RECORDS_UNWRITABLE',
      {
        subject: file,
        got,
        expected: 'a records file that can be written',
        remedy: 'lots, marks and acknowledgements are not kept until the file and its disk are put right',
      },
      { cause: error },
    );
  }
}

/** The low byte of an extended result code is the plain one. */
const PLAIN_CODE = 0xff;

function outsideFailure(error: unknown): string | undefined {
  if (!(error instanceof Error) || !('errcode' in error) || typeof error.errcode !== 'number')
    return undefined;
  return OUTSIDE_FAILURES.get(error.errcode & PLAIN_CODE);
}
