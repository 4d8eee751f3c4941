import type { SeriesId } from '../../ports/sample-store.ts';

export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;
export const DAY_MS = 24 * HOUR_MS;
/** Widths that rollups come in. */
export type RollupWidthMs = 60_000 | 3_600_000;
export const DAY_MINUTES = 1440;

/** What a chunk may span, in minutes; each divides the next, so that chunks never overlap. */
const SPANS_MINUTES = [1, 10, 60, DAY_MINUTES] as const;
export const SHORTEST_LEVEL = 0;
/** Samples are first sealed in chunks of ten minutes. */
export const SEALING_LEVEL = 1;
export const HOUR_LEVEL = 2;
export const LONGEST_LEVEL = 3;
/**
 * A chunk above this is split, down to one minute; below it, neighbours are merged, up to one day. A day of a tag
 * polled each second is one chunk; to encode it again, when a late reading comes, takes some 10 ms.
 */
export const MOST_SAMPLES_PER_CHUNK = 98_304;

/** Room for 2^26 minutes since 1970, which is up to August 2097, and for 2^27 series, in a double's 53 bits. */
const MINUTES_PER_SERIES = 2 ** 26;
const DAYS_PER_SERIES = 2 ** 16;
export const LATEST_MINUTE = MINUTES_PER_SERIES - 1;
/** Exclusive. */
export const LATEST_TIME_MS = MINUTES_PER_SERIES * MINUTE_MS;

export function minuteOf(timeMs: number): number {
  return Math.floor(timeMs / MINUTE_MS);
}

export function dayOf(timeMs: number): number {
  return Math.floor(timeMs / DAY_MS);
}

export function spanOf(level: number): number {
  return SPANS_MINUTES[level] ?? DAY_MINUTES;
}

export function levelOf(spanMinutes: number): number {
  return SPANS_MINUTES.findIndex((span) => span >= spanMinutes);
}

export function blockStart(minute: number, spanMinutes: number): number {
  return minute - (minute % spanMinutes);
}

export function chunkId(series: SeriesId, minute: number): number {
  return series * MINUTES_PER_SERIES + minute;
}

export function seriesOfChunk(id: number): SeriesId {
  return Math.floor(id / MINUTES_PER_SERIES);
}

export function minuteOfChunk(id: number): number {
  return id % MINUTES_PER_SERIES;
}

export function dayId(series: SeriesId, day: number): number {
  return series * DAYS_PER_SERIES + day;
}

export function seriesOfDay(id: number): SeriesId {
  return Math.floor(id / DAYS_PER_SERIES);
}

export function dayOfId(id: number): number {
  return id % DAYS_PER_SERIES;
}
