import type { Authorship, RecordRange } from '../ports/record-store.ts';
import type { Database, Row } from './database.ts';
import {
  detailsIn,
  expectFit,
  pageValues,
  WRITTEN_COLUMNS,
  writtenIn,
  writtenValues,
  type Check,
} from './stored-entry.ts';

interface InstantKind<Details, Entry> {
  readonly table: 'mark' | 'hand_sample' | 'machine_baseline' | 'machine_finding';
  readonly check: Check<Entry>;
  /** The instant that the entry speaks of, which is not when it was written. */
  readonly timeMsOf: (details: Details) => number;
}

/** What speaks of one instant of a line: marks, hand samples, baselines and findings of machines. */
export interface InstantRecords<Details, Entry> {
  write(details: Details, by: Authorship): Entry;
  within(range: RecordRange): readonly Entry[];
}

export function instantRecords<Details extends { readonly line: string }, Entry>(
  database: Database,
  { table, check, timeMsOf }: InstantKind<Details, Entry>,
): InstantRecords<Details, Entry> {
  const insert = `INSERT INTO ${table} (line, time_ms, details, ${WRITTEN_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?)`;
  const entryOf = (row: Row) =>
    expectFit(check, { ...detailsIn(row), ...writtenIn(row) }, `${table} ${String(row['id'])}`);

  function write(details: Details, by: Authorship): Entry {
    const values = [details.line, timeMsOf(details), JSON.stringify(details), ...writtenValues(by)];
    const id = database.run(insert, values);
    const [entry] = database.rows(`SELECT * FROM ${table} WHERE id = ?`, [id]).map(entryOf);
    if (entry === undefined) throw new Error('An entry just written is not there.');
    return entry;
  }

  return {
    write: (details, by) => database.together(() => write(details, by)),
    within: (range) =>
      database
        .rows(
          `SELECT * FROM ${table} WHERE time_ms >= ? AND time_ms < ? AND (time_ms, id) > (?, ?)
           ORDER BY time_ms, id LIMIT ?`,
          [range.fromMs, range.toMs, ...pageValues(range)],
        )
        .map(entryOf),
  };
}
