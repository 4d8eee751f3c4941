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

interface SpanKind<Span> {
  /** The table of beginnings; that of ends has the same name and `_end`. */
  readonly table: 'lot' | 'shift';
  readonly check: Check<Span>;
}

/** What lasts from one instant to another on a line, one at a time: lots and shifts. */
export interface SpanRecords<Details, Span> {
  /** Ends what is running on the line at the same instant. */
  start(details: Details, by: Authorship): Span;
  end(line: string, by: Authorship): Span | null;
  running(): readonly Span[];
  /** All that were running at some time in the range, a span of no length included. */
  within(range: RecordRange): readonly Span[];
}

export function spanRecords<
  Details extends { readonly line: string },
  Span extends { readonly id: number; readonly startedMs: number },
>(database: Database, { table, check }: SpanKind<Span>): SpanRecords<Details, Span> {
  const select = `
    SELECT span.*, ended_ms FROM ${table} AS span LEFT JOIN ${table}_end AS ending ON ending.${table} = span.id`;
  const insert = `
    INSERT INTO ${table} (line, started_ms, details, ${WRITTEN_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?)`;
  const insertEnd = `INSERT INTO ${table}_end (${table}, ended_ms, ${WRITTEN_COLUMNS}) VALUES (?, ?, ?, ?, ?)`;

  const spanOf = (row: Row) =>
    expectFit(
      check,
      { ...detailsIn(row), ...writtenIn(row), startedMs: row['started_ms'], endedMs: row['ended_ms'] },
      `${table} ${String(row['id'])}`,
    );
  const read = (rest: string, values: readonly (number | string)[]) =>
    database.rows(`${select} ${rest}`, values).map(spanOf);

  function start(details: Details, by: Authorship): Span {
    const ended = end(details.line, by);
    const startedMs = ended === null ? by.timeMs : endOf(ended, by);
    const id = database.run(insert, [details.line, startedMs, JSON.stringify(details), ...writtenValues(by)]);
    return one(read('WHERE span.id = ?', [id]));
  }

  function end(line: string, by: Authorship): Span | null {
    const [running] = read('WHERE span.line = ? AND ended_ms IS NULL', [line]);
    if (running === undefined) return null;
    database.run(insertEnd, [running.id, endOf(running, by), ...writtenValues(by)]);
    return one(read('WHERE span.id = ?', [running.id]));
  }

  return {
    start: (details, by) => database.together(() => start(details, by)),
    end: (line, by) => database.together(() => end(line, by)),
    running: () => read('WHERE ended_ms IS NULL ORDER BY started_ms, span.id', []),
    within: (range) =>
      read(
        `WHERE started_ms < ? AND (ended_ms IS NULL OR ended_ms > ? OR started_ms >= ?)
         AND (started_ms, span.id) > (?, ?) ORDER BY started_ms, span.id LIMIT ?`,
        [range.toMs, range.fromMs, range.fromMs, ...pageValues(range)],
      ),
  };
}

/** A clock that was set back must not make a span end before it began. */
function endOf({ startedMs }: { readonly startedMs: number }, { timeMs }: Authorship): number {
  return Math.max(startedMs, timeMs);
}

function one<Span>(spans: readonly Span[]): Span {
  const [span] = spans;
  if (span === undefined) throw new Error('An entry just written is not there.');
  return span;
}
