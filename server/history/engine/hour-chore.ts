import { HOUR_MS } from './blocks.ts';
import type { Catalogue } from './catalogue.ts';
import type { Chore } from './chore.ts';
import type { ChunkTable } from './chunk-table.ts';
import { mergedHour } from './compaction.ts';
import { inSlices, type SliceParts } from './in-slices.ts';

export type HourChoreParts = SliceParts & {
  readonly catalogue: Catalogue;
  readonly chunks: ChunkTable;
  readonly nowMs: () => number;
};

/** Sealing is ten minutes behind, and readings may be late. */
const LATENESS_MS = HOUR_MS / 4;
/** After a start, or a clock that jumped: a day is merged as a whole when it is over. */
const MOST_HOURS_BACK = 24;

/**
 * Merges the six chunks of each hour when it is over, so that a trend of today is read in few pieces; the day chore
 * makes one of them all tomorrow.
 */
export function newHourChore(parts: HourChoreParts): Chore {
  let work: Generator<void> | null = null;
  let hoursDone = -Infinity;
  return {
    step(isForced) {
      if (work === null) {
        const hours = Math.floor((parts.nowMs() - LATENESS_MS) / HOUR_MS);
        // When all is due at once, whole days are.
        if (isForced || hours === hoursDone) return false;
        work = inSlices(parts, mergedHours(parts, Math.max(hoursDone, hours - MOST_HOURS_BACK), hours));
        hoursDone = hours;
      }
      if (work.next().done === true) work = null;
      return true;
    },
    abandon() {
      work = null;
      hoursDone = -Infinity;
    },
  };
}

function* mergedHours(
  { catalogue, chunks }: HourChoreParts,
  fromHour: number,
  toHour: number,
): Generator<void> {
  for (const { series, validToMs } of catalogue.all()) {
    if (validToMs !== null) continue;
    for (let hour = fromHour; hour < toHour; hour++) {
      mergedHour(chunks, series, hour);
      yield;
    }
  }
}
