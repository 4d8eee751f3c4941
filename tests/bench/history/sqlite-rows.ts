import { statSync } from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import type { Subject } from './subject.ts';

const THIN = `SELECT CAST((t - ?) / ? AS INTEGER) AS bucket, min(v), max(v), avg(v), count(*)
  FROM reading WHERE tag = ? AND t >= ? AND t < ? GROUP BY bucket`;

/** One row a reading, primary key (tag, t): what one would write first. */
export function openSqliteRows(path: string): Subject & { readonly database: DatabaseSync } {
  const database = new DatabaseSync(path);
  database.exec('PRAGMA page_size = 16384; PRAGMA journal_mode = WAL; PRAGMA cache_size = -262144');
  database.exec(
    'CREATE TABLE reading (tag INTEGER, t INTEGER, v REAL, s INTEGER, PRIMARY KEY (tag, t)) WITHOUT ROWID',
  );
  const insert = database.prepare('INSERT INTO reading VALUES (?, ?, ?, 0)');
  const thin = database.prepare(THIN);
  // Loading in bulk need not survive a power cut; the durable rate is measured apart.
  database.exec('PRAGMA synchronous = OFF');
  return {
    database,
    load(blocks) {
      database.exec('BEGIN');
      for (const { tag, timeMs, value } of blocks) {
        for (let i = 0; i < timeMs.length; i++) insert.run(tag, timeMs[i] ?? 0, value[i] ?? 0);
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
