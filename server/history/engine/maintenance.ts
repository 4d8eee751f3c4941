import { newDayChore, type DayChoreParts } from './day-chore.ts';
import type { Reach } from './crash-point.ts';
import { newHourChore } from './hour-chore.ts';
import type { Report, StoreReport } from './reports.ts';
import { newRetentionChore, type RetentionChoreParts } from './retention-chore.ts';
import type { SealCycleParts } from './seal-cycle.ts';
import { newSealChore } from './seal-chore.ts';
import { newShrinkChore } from './shrink-chore.ts';
import { numberIn, type SqliteFile } from './sqlite-file.ts';

export type MaintenanceParts = DayChoreParts &
  RetentionChoreParts &
  SealCycleParts & { readonly report: Report };

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

const OVERFULL_ABOVE_SAMPLES = 4_500_000;
/** 1600 pages of 4 KiB: a checkpoint then takes some 10 ms. */
const CHECKPOINT_ABOVE_PAGES = 1600;
/** After a failed write nothing is sealed for a while; the journal goes on if it can. */
const PAUSE_MS = 10_000;

export function openMaintenance(parts: MaintenanceParts): Maintenance {
  const { file, pending, reach, tickMs } = parts;
  // In this order: sealing frees memory and comes first.
  const chores = [
    newSealChore(parts),
    newDayChore(parts),
    newHourChore(parts),
    newRetentionChore(parts),
    newShrinkChore(file, tickMs),
  ];
  let pausedUntilMs = 0;
  const step = (isForced: boolean): boolean => {
    if (!isForced && tickMs() < pausedUntilMs) return false;
    const isBusy = chores.some((chore) => chore.step(isForced));
    if (isBusy || pending.total() > 0) checkpointIfDue(file, reach);
    return isBusy;
  };
  return {
    step: () => step(false),
    settle() {
      const isBusy = step(true);
      // All is in its place: the disk gets back what the commits on the way took.
      if (!isBusy) {
        file.first('PRAGMA wal_checkpoint(TRUNCATE)');
        reach('checkpoint-done');
      }
      return isBusy;
    },
    isOverfull: () => pending.total() > OVERFULL_ABOVE_SAMPLES && tickMs() >= pausedUntilMs,
    abandon(error) {
      for (const chore of chores) chore.abandon();
      parts.chunks.forget();
      pausedUntilMs = tickMs() + PAUSE_MS;
      parts.report(trouble(error, pending.total()));
    },
  };
}

function checkpointIfDue(file: SqliteFile, reach: Reach): void {
  const status = file.first('PRAGMA wal_checkpoint(NOOP)');
  if (status === null || numberIn(status, 'log') - numberIn(status, 'checkpointed') < CHECKPOINT_ABOVE_PAGES)
    return;
  file.first('PRAGMA wal_checkpoint(PASSIVE)');
  reach('checkpoint-done');
}

function trouble(error: unknown, waiting: number): StoreReport {
  const got = error instanceof Error ? error.message : String(error);
  const expected = 'a file that can be written';
  const remedy = `${waiting} samples stay in the journal and in memory; tried again in ${PAUSE_MS / 1000} s`;
  return { code: 'HISTORY_UNWRITABLE', parts: { subject: 'sealing of the history', got, expected, remedy } };
}
