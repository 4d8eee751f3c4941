import { totalFromCounter, type Counter } from '../calc/total-from-counter.ts';
import { kilograms, MS_PER_HOUR } from '../calc/units.ts';
import type { Quality, Reading } from '../contract/reading.ts';

/**
 * The recent past of one tag as running totals, so that the mass over any stretch costs two look-ups.
 *
 * Persistent: appending copies the last block only, older states stay as they were.
 */
export interface FlowTrack {
  readonly blocks: readonly (readonly FlowPoint[])[];
  readonly tail: readonly FlowPoint[];
  readonly isStep: boolean;
  /** A totaliser: its increases are the totals. Null for a rate, whose totals are its integral. */
  readonly counter: Counter | null;
  /** Its points bring their totals along, and their rate is none: between two of them the total runs evenly. */
  readonly isTotal?: boolean;
  /** No instrument shows more, either way: such a value is none, and would spoil the running totals for good. */
  readonly most: number;
}

interface RawPoint {
  readonly timeMs: number;
  /** A rate, or where a counter stands. Null for a point without a value: what follows it is uncovered. */
  readonly rate: number | null;
  readonly isDoubtful: boolean;
}

/** What has run up from the first point of the track. A track that was cut keeps counting from where it began. */
export interface FlowStretch {
  /** In unit x ms: kg/h x ms for rates and for counters. */
  readonly total: number;
  readonly coveredMs: number;
  /** Covered time that rests on uncertain readings or on a bridged hole. */
  readonly doubtfulMs: number;
  /** Readings with a value. */
  readonly count: number;
}

export interface FlowPoint extends RawPoint, FlowStretch {}

const BLOCK_POINTS = 64;
const NOTHING: FlowStretch = { total: 0, coveredMs: 0, doubtfulMs: 0, count: 0 };

/** What is beyond any instrument of a plant, where its range is not stated. */
export const MOST_OF_ALL = 1e7;

export function emptyTrack(
  isStep: boolean,
  { counter = null, most = MOST_OF_ALL }: Partial<Pick<FlowTrack, 'counter' | 'most'>> = {},
): FlowTrack {
  return { blocks: [], tail: [], isStep, counter, most };
}

/** The track with one more reading; a reading that is not newer than the last is left out. */
export function withReading(track: FlowTrack, reading: Reading, bridgedGapMsMax: number): FlowTrack {
  return extended(track, rawPoint(track, reading), bridgedGapMsMax);
}

/**
 * The track with readings of the past, in any order, put where they belong; at one instant what was there first stays.
 * What lies before a track that was already cut is left out.
 */
export function withPast(track: FlowTrack, readings: readonly Reading[], bridgedGapMsMax: number): FlowTrack {
  const there = [...track.blocks.flat(), ...track.tail];
  const [first] = there;
  const isCut = first !== undefined && first.coveredMs > 0;
  const past = readings
    .map((reading) => rawPoint(track, reading))
    .filter(({ timeMs }) => !isCut || timeMs > first.timeMs);
  const points: readonly RawPoint[] = [...there, ...past].sort((a, b) => a.timeMs - b.timeMs);
  const start: FlowTrack = { ...track, blocks: [], tail: isCut ? [first] : [] };
  return points.reduce((grown, point) => extended(grown, point, bridgedGapMsMax), start);
}

/** The track without what ended before `fromMs`. */
export function withoutBefore(track: FlowTrack, fromMs: number): FlowTrack {
  const keep = track.blocks.findIndex((block) => (block.at(-1)?.timeMs ?? -Infinity) >= fromMs);
  if (keep === 0 || (keep === -1 && track.blocks.length === 0)) return track;
  return { ...track, blocks: keep === -1 ? [] : track.blocks.slice(keep) };
}

/**
 * What flowed from `fromMs` to `toMs`. After the last reading its rate is held for `heldMs`: a subscription
 * sends nothing while a value stands still.
 */
export function flowBetween(
  track: FlowTrack,
  fromMs: number,
  window: { toMs: number; heldMs: number },
): FlowStretch {
  return stretchBetween(
    runningAt(track, fromMs, window.heldMs),
    runningAt(track, window.toMs, window.heldMs),
  );
}

export function stretchBetween(before: FlowStretch, upTo: FlowStretch): FlowStretch {
  return {
    total: upTo.total - before.total,
    coveredMs: upTo.coveredMs - before.coveredMs,
    doubtfulMs: upTo.doubtfulMs - before.doubtfulMs,
    count: upTo.count - before.count,
  };
}

/** Time of the newest reading, or null. */
export function newestMs(track: FlowTrack): number | null {
  return track.tail.at(-1)?.timeMs ?? null;
}

/** Time of the oldest reading that is still there, or null. */
export function oldestMs(track: FlowTrack): number | null {
  return (track.blocks[0] ?? track.tail)[0]?.timeMs ?? null;
}

/** The track with one more point whose running totals somebody else has worked out. */
export function withPoint(track: FlowTrack, point: FlowPoint): FlowTrack {
  const tail = [...track.tail, point];
  if (tail.length < BLOCK_POINTS) return { ...track, tail };
  return { ...track, blocks: [...track.blocks, tail], tail: tail.slice(-1) };
}

function extended(track: FlowTrack, seen: RawPoint, bridgedGapMsMax: number): FlowTrack {
  const last = track.tail.at(-1);
  if (last !== undefined && seen.timeMs <= last.timeMs) return track;
  if (track.counter !== null) return withCounted(track, seen, track.counter);
  return withPoint(track, nextPoint(track, seen, bridgedGapMsMax));
}

/** A counter goes on counting unread: a reading without a value, or one off its scale, is passed over. */
function withCounted(track: FlowTrack, seen: RawPoint, counter: Counter): FlowTrack {
  const { timeMs, rate, isDoubtful } = seen;
  if (rate === null || rate < 0 || rate > counter.rollsOverAt) return track;
  const last = track.tail.at(-1);
  if (last === undefined) return withPoint(track, { timeMs, rate, isDoubtful, ...NOTHING, count: 1 });
  const { total, coveredMs } = totalFromCounter(
    [
      { timeMs: last.timeMs, value: kilograms(last.rate ?? 0) },
      { timeMs, value: kilograms(rate) },
    ],
    counter,
  );
  const isDoubtfulSpan = isDoubtful || last.isDoubtful;
  return withPoint(track, {
    timeMs,
    rate,
    isDoubtful,
    total: last.total + total * MS_PER_HOUR,
    coveredMs: last.coveredMs + coveredMs,
    doubtfulMs: last.doubtfulMs + (isDoubtfulSpan ? coveredMs : 0),
    count: last.count + 1,
  });
}

function rawPoint({ most }: FlowTrack, reading: Reading): RawPoint {
  const rate = usableRate(reading);
  const isPossible = rate !== null && Math.abs(rate) <= most;
  return {
    timeMs: reading.sourceTimeMs,
    rate: isPossible ? rate : null,
    isDoubtful: reading.quality !== 'good',
  };
}

function nextPoint(track: FlowTrack, seen: RawPoint, bridgedGapMsMax: number): FlowPoint {
  const { timeMs, rate, isDoubtful } = seen;
  const last = track.tail.at(-1);
  const one = rate === null ? 0 : 1;
  if (last === undefined) return { timeMs, rate, isDoubtful, ...NOTHING, count: one };

  const spanMs = timeMs - last.timeMs;
  const isCovered = last.rate !== null && rate !== null && spanMs <= bridgedGapMsMax;
  const count = last.count + one;
  if (!isCovered) return { ...last, timeMs, rate, isDoubtful, count };
  const meanRate = track.isStep ? last.rate : (last.rate + rate) / 2;
  return {
    timeMs,
    rate,
    total: last.total + meanRate * spanMs,
    coveredMs: last.coveredMs + spanMs,
    doubtfulMs: last.doubtfulMs + (isDoubtful || last.isDoubtful ? spanMs : 0),
    count,
    isDoubtful,
  };
}

function usableRate(reading: Reading): number | null {
  const isUsable: Record<Quality, boolean> = { good: true, uncertain: true, stale: false, bad: false };
  return isUsable[reading.quality] ? reading.value : null;
}

/** The running totals at an instant between, before or after the points. */
export function runningAt(track: FlowTrack, timeMs: number, heldMs: number): FlowStretch {
  const { before, after } = around(track, timeMs);
  if (before === undefined) return after === undefined ? NOTHING : runningOf(after);
  if (after === undefined) return heldAfter(track, before, Math.min(timeMs - before.timeMs, heldMs));

  const share = (timeMs - before.timeMs) / (after.timeMs - before.timeMs);
  return {
    total: before.total + partialTotal(track, { before, after, share }),
    coveredMs: before.coveredMs + (after.coveredMs - before.coveredMs) * share,
    doubtfulMs: before.doubtfulMs + (after.doubtfulMs - before.doubtfulMs) * share,
    count: before.count + (after.count - before.count) * share,
  };
}

function partialTotal(track: FlowTrack, at: { before: FlowPoint; after: FlowPoint; share: number }): number {
  const { before, after, share } = at;
  if (isGiven(track)) return (after.total - before.total) * share;
  if (after.coveredMs === before.coveredMs || before.rate === null || after.rate === null) return 0;
  const spanMs = (after.timeMs - before.timeMs) * share;
  const endRate = track.isStep ? before.rate : before.rate + (after.rate - before.rate) * share;
  return ((before.rate + endRate) / 2) * spanMs;
}

function isGiven({ counter, isTotal = false }: FlowTrack): boolean {
  return counter !== null || isTotal;
}

/** What a counter will have counted since its last reading, nobody knows. */
function heldAfter(track: FlowTrack, last: FlowPoint, spanMs: number): FlowStretch {
  if (last.rate === null || spanMs <= 0 || isGiven(track)) return runningOf(last);
  return {
    total: last.total + last.rate * spanMs,
    coveredMs: last.coveredMs + spanMs,
    doubtfulMs: last.doubtfulMs + (last.isDoubtful ? spanMs : 0),
    count: last.count,
  };
}

function runningOf({ total, coveredMs, doubtfulMs, count }: FlowPoint): FlowStretch {
  return { total, coveredMs, doubtfulMs, count };
}

function around(track: FlowTrack, timeMs: number) {
  const tailStartMs = track.tail[0]?.timeMs ?? Infinity;
  const isOlder = timeMs < tailStartMs && track.blocks.length > 0;
  const points = isOlder ? (track.blocks[blockOf(track.blocks, timeMs)] ?? track.tail) : track.tail;
  const next = firstAfter(points, timeMs);
  return { before: points[next - 1], after: points[next] };
}

// Both searches halve without a function for each step: every figure asks them several times a tick.

/** Index of the first block that ends at `timeMs` or later. */
function blockOf(blocks: FlowTrack['blocks'], timeMs: number): number {
  let low = 0;
  let high = blocks.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    const block = blocks[middle];
    const endMs = block?.[block.length - 1]?.timeMs ?? Infinity;
    if (endMs >= timeMs) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Index of the first point later than `timeMs`. */
function firstAfter(points: readonly FlowPoint[], timeMs: number): number {
  let low = 0;
  let high = points.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((points[middle]?.timeMs ?? Infinity) <= timeMs) low = middle + 1;
    else high = middle;
  }
  return low;
}
