import type { SampleColumns } from '../../ports/sample-store.ts';
import { STORED_STATUS } from '../../contract/stored-status.ts';
import type { JournalBatch } from '../codec/journal-codec.ts';
import { packedBatch, unpackedBatch } from '../packed-batch.ts';
import { at, picked } from '../samples.ts';
import { StoreFault } from '../store-fault.ts';
import { LATEST_TIME_MS } from './blocks.ts';
import type { Catalogue } from './catalogue.ts';
import type { Reach } from './crash-point.ts';
import type { Horizons } from './horizons.ts';
import type { Journal } from './journal.ts';
import type { Pending } from './pending.ts';
import { quantised } from './quantise.ts';
import type { Report } from './reports.ts';
import { sqliteCode, type SqliteFile } from './sqlite-file.ts';
import type { Writers } from './writers.ts';

/** Takes batches in: checked, rounded, journalled, then visible to queries. */
export interface Ledger {
  /** All in one commit, or none. */
  append(batches: readonly JournalBatch[]): void;
}

export interface LedgerParts {
  readonly file: SqliteFile;
  readonly catalogue: Catalogue;
  readonly writers: Writers;
  readonly journal: Journal;
  readonly pending: Pending;
  readonly horizons: Horizons;
  readonly reach: Reach;
  readonly report: Report;
}

export function newLedger(parts: LedgerParts): Ledger {
  const { file, writers, journal, pending, reach } = parts;
  return {
    append(batches) {
      const fresh = withoutRepeats(batches, writers).map((batch) => withoutImpossibleTimes(batch, parts));
      if (fresh.length === 0) return;
      for (const batch of fresh) prepare(parts.catalogue, unpackedBatch(batch.packed));
      try {
        file.transact(() => {
          journal.write(fresh);
          for (const { writer, sequence } of fresh) writers.write(writer, sequence);
          reach('journal-written');
        });
      } catch (error) {
        writers.reload();
        throw unwritable(error);
      }
      reach('batch-durable');
      for (const batch of fresh) pending.add(unpackedBatch(batch.packed));
    },
  };
}

/** The fault for a disk that does not take what is written; any other error as it is. */
function unwritable(error: unknown): unknown {
  const code = sqliteCode(error);
  if (code === null) return error;
  const got = `SQLite code ${code}: ${error instanceof Error ? error.message : String(error)}`;
  const expected = 'a file that can be written';
  const remedy = 'nothing of it was kept; make room or allow writing, then the same batch is taken';
  return new StoreFault(
    'HISTORY_UNWRITABLE',
    { subject: 'history', got, expected, remedy },
    { cause: error },
  );
}

/** Work that writes, its failure told as the fault for it. */
export function writing<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw unwritable(error);
  }
}

function withoutRepeats(batches: readonly JournalBatch[], writers: Writers): readonly JournalBatch[] {
  const seen = new Set<string>();
  return batches.filter(({ writer, sequence }) => {
    const key = `${sequence} ${writer}`;
    if (seen.has(key) || writers.isRepeat(writer, sequence)) return false;
    seen.add(key);
    return true;
  });
}

/** Whole milliseconds; values on their resolution; what is not finite is no value. */
function prepare(catalogue: Catalogue, columns: SampleColumns): void {
  const { timeMs, value, status, series } = columns;
  for (let i = 0; i < timeMs.length; i++) {
    const time = Math.round(timeMs[i] ?? 0);
    timeMs[i] = time;
    const given = value[i] ?? NaN;
    if (Number.isFinite(given)) {
      value[i] = quantised(given, resolutionAt(catalogue, series[i] ?? 0, time));
    } else {
      value[i] = NaN;
      if (Number.isNaN(given) || (status[i] ?? 0) > STORED_STATUS.uncertain) continue;
      status[i] = STORED_STATUS.bad;
    }
  }
}

function resolutionAt(catalogue: Catalogue, series: number, timeMs: number): number {
  const definitions = catalogue.definitionsOf(series);
  for (let i = definitions.length - 1; i >= 0; i--) {
    const definition = definitions[i];
    if (definition !== undefined && (timeMs >= definition.validFromMs || i === 0))
      return definition.resolution;
  }
  return 0;
}

/** Before anything is written: a batch of an unknown series is the caller's mistake and is refused whole. */
export function expectKnownSeries(catalogue: Catalogue, batch: JournalBatch): void {
  for (const series of unpackedBatch(batch.packed).series) {
    if (catalogue.definitionsOf(series).length > 0) continue;
    const expected = 'an id that `register` gave';
    throw new StoreFault('REQUEST_UNKNOWN', {
      subject: 'series',
      got: series,
      expected,
      remedy: 'the batch is refused',
    });
  }
}

/**
 * A source time that no calendar has, or one before retention, must not cost the other samples of the batch.
 */
function withoutImpossibleTimes(batch: JournalBatch, { horizons, report }: LedgerParts): JournalBatch {
  const columns = unpackedBatch(batch.packed);
  const oldestOf = (i: number): number => horizons.rawFromMs(at(columns.series, i));
  const isPossible = (time: number, i: number): boolean => time >= oldestOf(i) && time < LATEST_TIME_MS;
  const wrong = columns.timeMs.findIndex((time, i) => !isPossible(time, i));
  if (wrong === -1) return batch;
  const kept = Uint32Array.from(columns.timeMs.keys()).filter((i) => isPossible(at(columns.timeMs, i), i));
  const subject = `series ${at(columns.series, wrong)} time [ms]`;
  const got = `${at(columns.timeMs, wrong)} (${columns.timeMs.length - kept.length} samples of such times)`;
  const expected = `${oldestOf(wrong)} to ${LATEST_TIME_MS - 1}`;
  report({
    code: 'REQUEST_INVALID',
    parts: { subject, got, expected, remedy: 'they are left out, the others kept' },
  });
  const series = Uint32Array.from(kept, (i) => at(columns.series, i));
  return { ...batch, packed: packedBatch({ ...picked(columns, kept), series }) };
}
