import { statSync } from 'node:fs';
import { DuckDBDataChunk, DuckDBInstance, DOUBLE, INTEGER, type DuckDBConnection } from '@duckdb/node-api';
import type { Block } from './plant-data.ts';
import type { Subject } from './subject.ts';

/** Most rows of a DuckDB data chunk. */
const CHUNK_ROWS = 2048;
/** Sorted and written in portions of about a day of the plant. */
const ROWS_A_PORTION = 20_000_000;

/** A column store, its rows sorted by tag and time, a day at a time: what an analyst would use. */
export async function openDuckdbSorted(path: string): Promise<Subject> {
  const instance = await DuckDBInstance.create(path, { threads: '2' });
  const connection = await instance.connect();
  await connection.run('CREATE TABLE reading (tag INTEGER, t BIGINT, v DOUBLE, s UTINYINT)');
  await connection.run('CREATE TEMP TABLE arrived (tag INTEGER, t DOUBLE, v DOUBLE)');
  let rows = 0;
  const sort = async (): Promise<void> => {
    await connection.run(
      'INSERT INTO reading SELECT tag, CAST(t AS BIGINT), v, 0 FROM arrived ORDER BY CAST(t AS BIGINT) // 86400000, tag, t',
    );
    await connection.run('TRUNCATE arrived');
    rows = 0;
  };
  return {
    async load(blocks) {
      rows += await append(connection, blocks);
      if (rows > ROWS_A_PORTION) await sort();
    },
    async finishLoading() {
      await sort();
      await connection.run('CHECKPOINT');
    },
    bytes: () => statSync(path).size,
    async ask({ tags, fromMs, toMs, buckets }) {
      const width = (toMs - fromMs) / buckets;
      const answer = await connection.runAndReadAll(
        `SELECT tag, CAST(floor((t - ${fromMs}) / ${width}) AS INTEGER) AS bucket, min(v), max(v), avg(v), count(*)
         FROM reading WHERE tag IN (${tags.join(', ')}) AND t >= ${fromMs} AND t < ${toMs} GROUP BY tag, bucket`,
      );
      return answer.currentRowCount;
    },
    close() {
      connection.closeSync();
      instance.closeSync();
      return Promise.resolve();
    },
  };
}

async function append(connection: DuckDBConnection, blocks: readonly Block[]): Promise<number> {
  const appender = await connection.createAppender('arrived', null, 'temp');
  let rows = 0;
  for (const { tag, timeMs, value } of blocks) {
    for (let at = 0; at < timeMs.length; at += CHUNK_ROWS) {
      const part = timeMs.subarray(at, at + CHUNK_ROWS);
      const chunk = DuckDBDataChunk.create([INTEGER, DOUBLE, DOUBLE], part.length);
      chunk.setColumnValues(0, new Array<number>(part.length).fill(tag));
      chunk.setColumnValues(1, [...part]);
      chunk.setColumnValues(2, [...value.subarray(at, at + CHUNK_ROWS)]);
      appender.appendDataChunk(chunk);
      rows += part.length;
    }
  }
  appender.closeSync();
  return rows;
}
