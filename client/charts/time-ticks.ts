import type { TimeWindow } from '../live/trend-view.ts';

const SECOND_MS = 1000;
const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;
const DAY_MS = 86_400_000;
const STEPS_MS: readonly number[] = [
  ...[1, 2, 5, 10, 15, 30].map((seconds) => seconds * SECOND_MS),
  ...[1, 2, 5, 10, 15, 30].map((minutes) => minutes * MINUTE_MS),
  ...[1, 2, 3, 6, 12].map((hours) => hours * HOUR_MS),
  ...[1, 2, 7, 14, 28, 56, 112].map((days) => days * DAY_MS),
];
const TICKS_MAX = 200;

export interface TimeTicks {
  readonly timeMs: readonly number[];
  readonly stepMs: number;
}

/**
 * Round times of the plant's own clock, at least `leastMs` apart: whole hours stay whole hours of the wall clock on
 * both sides of the night when clocks change. `offsetMs` answers how far the plant's clock is ahead of UTC.
 */
export function timeTicks(
  { fromMs, toMs }: TimeWindow,
  leastMs: number,
  offsetMs: (timeMs: number) => number,
): TimeTicks {
  const stepMs = STEPS_MS.find((step) => step >= leastMs) ?? Math.ceil(leastMs / DAY_MS) * DAY_MS;
  const timeMs: number[] = [];
  let wallMs = Math.ceil((fromMs + offsetMs(fromMs)) / stepMs) * stepMs;
  for (let count = 0; count < TICKS_MAX; count++, wallMs += stepMs) {
    const atMs = instantOf(wallMs, offsetMs);
    if (atMs > toMs) break;
    if (atMs >= fromMs && atMs !== timeMs.at(-1)) timeMs.push(atMs);
  }
  return { timeMs, stepMs };
}

/** The instant at which the wall clock shows a time: its offset is that of the instant itself, so it is looked up twice. */
function instantOf(wallMs: number, offsetMs: (timeMs: number) => number): number {
  const guess = wallMs - offsetMs(wallMs);
  return wallMs - offsetMs(guess);
}

const offsets = new Map<string, number>();
const OFFSETS_MAX = 2000;

/** How far a zone is ahead of UTC. Asked of the browser once for each hour: clocks change on the hour. */
export function zoneOffsetMs(timeZone: string): (timeMs: number) => number {
  const formatter = new Intl.DateTimeFormat('en', { timeZone, timeZoneName: 'longOffset' });
  return (timeMs) => {
    const hour = Math.floor(timeMs / HOUR_MS);
    const key = `${timeZone} ${hour}`;
    const kept = offsets.get(key);
    if (kept !== undefined) return kept;
    if (offsets.size > OFFSETS_MAX) offsets.clear();
    const made = offsetFrom(formatter, hour * HOUR_MS);
    offsets.set(key, made);
    return made;
  };
}

/** GMT, GMT-05:00 or GMT+05:30. */
const OFFSET = /^GMT(?:(?<sign>[+-])(?<hours>\d{2}):(?<minutes>\d{2}))?$/;

function offsetFrom(formatter: Intl.DateTimeFormat, timeMs: number): number {
  const text = formatter.formatToParts(timeMs).find(({ type }) => type === 'timeZoneName')?.value ?? 'GMT';
  const { sign, hours, minutes } = OFFSET.exec(text)?.groups ?? {};
  const sizeMs = Number(hours ?? 0) * HOUR_MS + Number(minutes ?? 0) * MINUTE_MS;
  return sign === '-' ? -sizeMs : sizeMs;
}
