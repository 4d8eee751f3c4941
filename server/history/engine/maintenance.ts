import { HOUR_MS, dayOf, dayOfId, MINUTE_MS, seriesOfDay, SEALING_LEVEL, spanOf } from './blocks.ts';
import type { Catalogue } from './catalogue.ts';
import type { ChunkTable } from './chunk-table.ts';
import { dayEntries, mergedChunks } from './compaction.ts';
import type { Reach } from './crash-point.ts';
import type { Journal } from './journal.ts';
import type { Pending } from './pending.ts';
import type { Report, StoreReport } from './reports.ts';
import type { RollupTable } from './rollup-table.ts';
import { newSealCycle } from './seal-cycle.ts';
import { numberIn, type SqliteFile } from './sqlite-file.ts';

export interface MaintenanceParts {
  readonly file: SqliteFile;
  readonly catalogue: Catalogue;
  readonly chunks: ChunkTable;
  readonly rollups: RollupTable;
  readonly pending: Pending;
  readonly journal: Journal;
  readonly nowMs: () => number;
  readonly tickMs: () => number;
  readonly reach: Reach;
  readonly report: Report;
}

/** What the store does for itself when nobody waits for an answer. */
export interface Maintenance {
  /** Works for at most about one slice on what is due; false when nothing is. */
  step(): boolean;
  /** As `step`, but takes everything as due at once: seals all, merges all days. */
  settle(): boolean;
  /** True when memory must be freed before more samples are taken. */
  isOverfull(): boolean;
  /** After a failed write: says so, and begins anew after a while. */
  abandon(error: unknown): void;
}

/** 45 MB of samples; a cycle then begins even if ten minutes are not over. */
const SEAL_ABOVE_SAMPLES = 2_500_000;
const OVERFULL_ABOVE_SAMPLES = 4_500_000;
const SLICE_MS = 12;
/** Backfill and late readings come in bursts: a day is merged when nothing has changed it for this long. */
const REST_MS = 10 * MINUTE_MS;
const LATENESS_MS = HOUR_MS / 4;
/** 400 pages of 16 KiB: a checkpoint then takes some 10 ms. */
const CHECKPOINT_ABOVE_PAGES = 400;
/** After a failed write nothing is sealed for a while; the journal goes on if it can. */
const PAUSE_MS = 10_000;
const SEAL_EVERY_MS = spanOf(SEALING_LEVEL) * MINUTE_MS;

export function openMaintenance(parts: MaintenanceParts): Maintenance {
  const { file, pending, nowMs, reach } = parts;
  const cycle = newSealCycle(parts);
  let sealedBlock = Math.floor(nowMs() / SEAL_EVERY_MS);
  let days: Generator<void> | null = null;
  let nextLookMs = 0;
  let pausedUntilMs = 0;

  const sealStep = (isForced: boolean): boolean => {
    if (!cycle.isRunning()) {
      const block = Math.floor(nowMs() / SEAL_EVERY_MS);
      const isFull = pending.total() > SEAL_ABOVE_SAMPLES;
      if (pending.total() === 0 || !(isForced || isFull || block !== sealedBlock)) return false;
      sealedBlock = block;
      cycle.begin(!isForced && !isFull);
    }
    cycle.slice();
    return true;
  };
  const dayStep = (isForced: boolean): boolean => {
    if (days === null) {
      const isTimeToLook = isForced || parts.tickMs() >= nextLookMs;
      const day = isTimeToLook ? dayAtRest(parts, isForced) : null;
      if (day === null) {
        if (isTimeToLook) nextLookMs = parts.tickMs() + MINUTE_MS;
        return false;
      }
      days = compactedDay(parts, day);
    }
    if (days.next().done === true) days = null;
    return true;
  };
  const step = (isForced: boolean): boolean => {
    if (!isForced && parts.tickMs() < pausedUntilMs) return false;
    const isBusy = sealStep(isForced) || dayStep(isForced);
    if (isBusy || pending.total() > 0) checkpointIfDue(file, reach);
    return isBusy;
  };
  return {
    step: () => step(false),
    settle: () => step(true),
    isOverfull: () => pending.total() > OVERFULL_ABOVE_SAMPLES && parts.tickMs() >= pausedUntilMs,
    abandon(error) {
      cycle.abandon();
      days = null;
      sealedBlock = NaN;
      pausedUntilMs = parts.tickMs() + PAUSE_MS;
      parts.report(maintenanceTrouble(error, pending.total()));
    },
  };
}

/** A day of a series that was changed, and not lately, and is over. */
function dayAtRest(parts: MaintenanceParts, isForced: boolean): number | null {
  const now = parts.nowMs();
  const restingSince = isForced ? Number.MAX_SAFE_INTEGER : now - REST_MS;
  const rows = parts.file.all('SELECT id FROM changed_day WHERE changed_ms <= ? LIMIT 4096', restingSince);
  const over = isForced ? Infinity : dayOf(now - LATENESS_MS);
  const row = rows.find((candidate) => dayOfId(numberIn(candidate, 'id')) < over);
  return row === undefined ? null : numberIn(row, 'id');
}

function* compactedDay(parts: MaintenanceParts, id: number): Generator<void> {
  const { file, chunks, rollups, reach } = parts;
  const day = { series: seriesOfDay(id), day: dayOfId(id) };
  yield* inSlices(parts, mergedChunks(chunks, day));
  const changesBefore = chunks.changesOf(id);
  for (const entries of dayEntries(parts, day)) {
    if (entries === null) {
      yield;
      continue;
    }
    // Changed while it was being read: it comes to rest again later.
    if (chunks.changesOf(id) !== changesBefore) return;
    file.transact(() => {
      if (entries.minutes.startMs.length > 0) rollups.put(day.series, day.day, entries);
      file.run('DELETE FROM changed_day WHERE id = ?', id);
      reach('rollup-written');
    });
    reach('rollup-durable');
  }
}

function* inSlices({ file, tickMs, reach }: MaintenanceParts, work: Generator<void>): Generator<void> {
  for (let isDone = false; !isDone;) {
    isDone = file.transact(() => {
      const endMs = tickMs() + SLICE_MS;
      while (tickMs() < endMs) if (work.next().done === true) return true;
      reach('chunks-merged');
      return false;
    });
    reach('merge-durable');
    yield;
  }
}

function checkpointIfDue(file: SqliteFile, reach: Reach): void {
  const status = file.first('PRAGMA wal_checkpoint(NOOP)');
  if (status === null || numberIn(status, 'log') - numberIn(status, 'checkpointed') < CHECKPOINT_ABOVE_PAGES)
    return;
  file.first('PRAGMA wal_checkpoint(PASSIVE)');
  reach('checkpoint-done');
}

function maintenanceTrouble(error: unknown, waiting: number): StoreReport {
  const got = error instanceof Error ? error.message : String(error);
  const expected = 'a file that can be written';
  const remedy = `${waiting} samples stay in the journal and in memory; tried again in ${PAUSE_MS / 1000} s`;
  return { code: 'HISTORY_UNWRITABLE', parts: { subject: 'sealing of the history', got, expected, remedy } };
}
