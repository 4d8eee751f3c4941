import { statSync } from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import type { Subject } from './subject.ts';

const THIN = `SELECT CAST((t - ?) / ? AS INTEGER) AS bucket, min(v), max(v), avg(v), count(*)
  FROM reading WHERE tag = ? AND t >= ? AND t < ? GROUP BY bucket`;

/** One statement for so many: half the time of one for each. */
const ROWS_AT_ONCE = 60;

function insertedRows(count: number): string {
  return new Array<string>(count).fill('(?, ?, ?, 0)').join(', ');
}

/** One row a reading, primary key (tag, t): what one would write first. */
export function openSqliteRows(path: string): Subject & { readonly database: DatabaseSync } {
  const database = new DatabaseSync(path);
  database.exec('PRAGMA page_size = 16384; PRAGMA journal_mode = WAL; PRAGMA cache_size = -262144');
  database.exec(
    'CREATE TABLE reading (tag INTEGER, t INTEGER, v REAL, s INTEGER, PRIMARY KEY (tag, t)) WITHOUT ROWID',
  );
  const insert = database.prepare(`INSERT INTO reading VALUES ${insertedRows(ROWS_AT_ONCE)}`);
  const insertOne = database.prepare(`INSERT INTO reading VALUES ${insertedRows(1)}`);
  const thin = database.prepare(THIN);
  // Loading in bulk need not survive a power cut; the durable rate is measured apart.
  database.exec('PRAGMA synchronous = OFF');
  return {
    database,
    load(blocks) {
      database.exec('BEGIN');
      for (const { tag, timeMs, value } of blocks) {
        const bound = (from: number, to: number): readonly number[] =>
          Array.from({ length: to - from }, (_, i) => [
            tag,
            timeMs[from + i] ?? 0,
            value[from + i] ?? 0,
          ]).flat();
        const full = timeMs.length - (timeMs.length % ROWS_AT_ONCE);
        for (let i = 0; i < full; i += ROWS_AT_ONCE) insert.run(...bound(i, i + ROWS_AT_ONCE));
        for (let i = full; i < timeMs.length; i++) insertOne.run(...bound(i, i + 1));
      }
      database.exec('COMMIT');
      return Promise.resolve();
    },
    finishLoading() {
      database.exec('PRAGMA synchronous = FULL; PRAGMA wal_checkpoint(TRUNCATE)');
      return Promise.resolve();
    },
    bytes: () => statSync(path).size,
    ask({ tags, fromMs, toMs, buckets }) {
      let count = 0;
      for (const tag of tags) count += thin.all(fromMs, (toMs - fromMs) / buckets, tag, fromMs, toMs).length;
      return Promise.resolve(count);
    },
    close() {
      database.close();
      return Promise.resolve();
    },
  };
}
