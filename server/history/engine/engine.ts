import type {
  RangeRequest,
  RawColumns,
  SampleAt,
  SeriesDefinition,
  SeriesId,
  StoredSeries,
  ThinnedColumns,
  ThinnedRequest,
  WindowTotals,
} from '../../ports/sample-store.ts';
import type { JournalBatch } from '../codec/journal-codec.ts';
import { openCatalogue } from './catalogue.ts';
import { openChunkTable } from './chunk-table.ts';
import type { Reach } from './crash-point.ts';
import { openHistoryFile } from './history-file.ts';
import { openHorizons } from './horizons.ts';
import { openJournal } from './journal.ts';
import { expectKnownSeries, newLedger, writing } from './ledger.ts';
import { openMaintenance, type Maintenance } from './maintenance.ts';
import { newPending } from './pending.ts';
import { ownedFolder, type OwnerLock } from './owner-lock.ts';
import { rawPieces, thinnedPieces, valuesAt, type Memory } from './queries.ts';
import { damageReports, type Report } from './reports.ts';
import type { Retention } from './retention.ts';
import { openRollupTable } from './rollup-table.ts';
import { newSeriesReader } from './series-reader.ts';
import type { SqliteFile } from './sqlite-file.ts';
import { windowTotals } from './totals.ts';
import { openWriters } from './writers.ts';

/** The store itself, in the thread that owns the file. Nothing in it waits for anything but the disk. */
export interface Engine {
  register(definitions: readonly SeriesDefinition[], fromMs: number): ReadonlyMap<string, SeriesId>;
  rename(from: string, to: string): void;
  catalogue(): readonly StoredSeries[];
  /** Throws the caller's mistakes, before the batch is put into a commit with others. */
  check(batch: JournalBatch): void;
  append(batches: readonly JournalBatch[]): void;
  lastSequence(writer: string): number;
  raw(request: RangeRequest): Generator<RawColumns | null>;
  thinned(request: ThinnedRequest): Generator<ThinnedColumns | null>;
  valuesAt(series: readonly SeriesId[], timeMs: number): readonly SampleAt[];
  totals(request: RangeRequest): Generator<WindowTotals | null>;
  readonly maintenance: Maintenance;
  close(): void;
}

export interface EngineOptions {
  readonly folder: string;
  readonly isReadOnly: boolean;
  readonly nowMs: () => number;
  readonly tickMs: () => number;
  readonly report: Report;
  readonly reach: Reach;
  readonly retention: Retention;
}

export function openEngine(options: EngineOptions): Engine {
  const lock = options.isReadOnly ? null : ownedFolder(options.folder);
  let file: SqliteFile | null = null;
  try {
    file = openHistoryFile(options.folder, options);
    return engineOn(file, lock, options);
  } catch (error) {
    // Another process, or the next try of this one, may set right what is wrong.
    file?.close();
    lock?.release();
    throw error;
  }
}

function engineOn(file: SqliteFile, lock: OwnerLock | null, options: EngineOptions): Engine {
  const damaged = damageReports(options.report);
  const catalogue = openCatalogue(file);
  const writers = openWriters(file);
  const journal = openJournal(file, damaged.journal);
  const horizons = openHorizons(file);
  const pending = newPending();
  const chunks = openChunkTable(file, { nowMs: options.nowMs, damaged: damaged.chunk });
  const rollups = openRollupTable(file, damaged.rollup);
  journal.replay((columns) => pending.add(columns));
  const reader = newSeriesReader(chunks, pending);
  const memory: Memory = { catalogue, reader, rollups, pending };
  const ledger = newLedger({ file, catalogue, writers, journal, pending, horizons, ...options });
  return {
    register: (definitions, fromMs) => writing(() => catalogue.register(definitions, fromMs)),
    rename: (from, to) => writing(() => catalogue.rename(from, to)),
    catalogue: () => catalogue.all(),
    check: (batch) => expectKnownSeries(catalogue, batch),
    append: (batches) => ledger.append(batches),
    lastSequence: (writer) => writers.lastSequence(writer),
    raw: (request) => rawPieces(memory, request),
    thinned: (request) => thinnedPieces(memory, request),
    valuesAt: (series, timeMs) => valuesAt(memory, series, timeMs),
    totals: (request) => windowTotals(memory, request),
    maintenance: openMaintenance({
      file,
      catalogue,
      chunks,
      rollups,
      pending,
      journal,
      horizons,
      ...options,
    }),
    close() {
      file.close();
      lock?.release();
    },
  };
}
