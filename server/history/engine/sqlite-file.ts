import { DatabaseSync, type SQLInputValue, type SQLOutputValue, type StatementSync } from 'node:sqlite';

export type Row = Record<string, SQLOutputValue>;

/** The one door to SQLite. `node:sqlite` is a release candidate: whatever changes in it changes here. */
export interface SqliteFile {
  exec(sql: string): void;
  run(sql: string, ...values: SQLInputValue[]): void;
  all(sql: string, ...values: SQLInputValue[]): readonly Row[];
  first(sql: string, ...values: SQLInputValue[]): Row | null;
  /** All or nothing: a throw undoes it. */
  transact<T>(work: () => T): T;
  close(): void;
}

export interface SqliteOptions {
  readonly path: string;
  readonly isReadOnly: boolean;
  /** How long to wait for another process that holds the file. */
  readonly busyMs: number;
}

export function openSqliteFile(options: SqliteOptions): SqliteFile {
  const database = new DatabaseSync(options.path, { readOnly: options.isReadOnly, timeout: options.busyMs });
  const statements = new Map<string, StatementSync>();
  const prepared = (sql: string): StatementSync => {
    const known = statements.get(sql);
    if (known !== undefined) return known;
    const fresh = database.prepare(sql);
    statements.set(sql, fresh);
    return fresh;
  };
  return {
    exec: (sql) => database.exec(sql),
    run: (sql, ...values) => void prepared(sql).run(...values),
    all: (sql, ...values) => prepared(sql).all(...values),
    first: (sql, ...values) => prepared(sql).get(...values) ?? null,
    transact: (work) => transacted(database, work),
    close: () => database.close(),
  };
}

/** SQLite's primary result code of an error that it raised, or null for any other error. */
export function sqliteCode(error: unknown): number | null {
  if (!(error instanceof Error) || !('errcode' in error) || typeof error.errcode !== 'number') return null;
  return error.errcode & 0xff;
}

export function numberIn(row: Row, column: string): number {
  const value = row[column];
  if (typeof value !== 'number') throw new TypeError(`column ${column} holds ${typeof value}, not a number`);
  return value;
}

export function numberOrNullIn(row: Row, column: string): number | null {
  return row[column] === null ? null : numberIn(row, column);
}

export function textIn(row: Row, column: string): string {
  const value = row[column];
  if (typeof value !== 'string') throw new TypeError(`column ${column} holds ${typeof value}, not a text`);
  return value;
}

export function bytesIn(row: Row, column: string): Uint8Array {
  const value = row[column];
  if (!(value instanceof Uint8Array))
    throw new TypeError(`column ${column} holds ${typeof value}, not bytes`);
  return value;
}

function transacted<T>(database: DatabaseSync, work: () => T): T {
  database.exec('BEGIN IMMEDIATE');
  try {
    const result = work();
    database.exec('COMMIT');
    return result;
  } catch (error) {
    // SQLite may have rolled back by itself, as it does when the disk is full.
    if (database.isTransaction) database.exec('ROLLBACK');
    throw error;
  }
}
