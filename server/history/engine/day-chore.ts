import { dayOf, dayOfId, HOUR_MS, MINUTE_MS, seriesOfDay } from './blocks.ts';
import type { Catalogue } from './catalogue.ts';
import type { Chore } from './chore.ts';
import type { ChunkTable } from './chunk-table.ts';
import { dayEntries, mergedChunks } from './compaction.ts';
import type { Reach } from './crash-point.ts';
import { inSlices } from './in-slices.ts';
import type { RollupTable } from './rollup-table.ts';
import { numberIn, type SqliteFile } from './sqlite-file.ts';

export interface DayChoreParts {
  readonly file: SqliteFile;
  readonly catalogue: Catalogue;
  readonly chunks: ChunkTable;
  readonly rollups: RollupTable;
  readonly nowMs: () => number;
  readonly tickMs: () => number;
  readonly reach: Reach;
}

/** Backfill and late readings come in bursts: a day is merged when nothing has changed it for this long. */
const REST_MS = 10 * MINUTE_MS;
/** Yesterday is over a quarter of an hour after midnight (UTC). */
const LATENESS_MS = HOUR_MS / 4;
const LOOK_EVERY_MS = MINUTE_MS;
const DAYS_PER_SERIES = 65_536;

/** Merges and rolls up each day of a series that was changed, when it is over and has come to rest. */
export function newDayChore(parts: DayChoreParts): Chore {
  const { tickMs } = parts;
  let work: Generator<void> | null = null;
  let nextLookMs = 0;
  return {
    step(isForced) {
      if (work === null) {
        if (!isForced && tickMs() < nextLookMs) return false;
        const day = dayAtRest(parts, isForced);
        if (day === null) {
          nextLookMs = tickMs() + LOOK_EVERY_MS;
          return false;
        }
        work = compactedDay(parts, day);
      }
      if (work.next().done === true) work = null;
      return true;
    },
    abandon() {
      work = null;
    },
  };
}

function dayAtRest({ file, nowMs }: DayChoreParts, isForced: boolean): number | null {
  const restingSinceMs = isForced ? Number.MAX_SAFE_INTEGER : nowMs() - REST_MS;
  const overBefore = isForced ? DAYS_PER_SERIES : dayOf(nowMs() - LATENESS_MS);
  const sql = `SELECT id FROM changed_day WHERE changed_ms <= ? AND id % ${DAYS_PER_SERIES} < ? LIMIT 1`;
  const row = file.first(sql, restingSinceMs, overBefore);
  return row === null ? null : numberIn(row, 'id');
}

function* compactedDay(parts: DayChoreParts, id: number): Generator<void> {
  const { file, chunks, rollups, reach } = parts;
  const day = { series: seriesOfDay(id), day: dayOfId(id) };
  yield* inSlices(parts, mergedChunks(chunks, day));
  const changesBefore = chunks.changed.changesOf(id);
  for (const entries of dayEntries(parts, day)) {
    if (entries === null) {
      yield;
      continue;
    }
    // Changed while it was being read: it comes to rest again later.
    if (chunks.changed.changesOf(id) !== changesBefore) return;
    file.transact(() => {
      if (entries.minutes.startMs.length > 0) rollups.put(day.series, day.day, entries);
      chunks.changed.unmark(id);
      reach('rollup-written');
    });
    reach('rollup-durable');
  }
}
