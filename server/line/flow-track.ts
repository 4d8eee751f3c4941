import type { Quality, Reading } from '../contract/reading.ts';

/**
 * The recent past of one rate as running totals, so that the mass over any stretch costs two look-ups.
 *
 * Persistent: appending copies the last block only, older states stay as they were.
 */
export interface FlowTrack {
  readonly blocks: readonly (readonly FlowPoint[])[];
  readonly tail: readonly FlowPoint[];
  readonly isStep: boolean;
}

interface RatePoint {
  readonly timeMs: number;
  /** Null for a point without a value: what follows it is uncovered. */
  readonly rate: number | null;
  readonly isDoubtful: boolean;
}

/** Totals run from the first point of the track to this one. */
interface FlowPoint extends RatePoint {
  /** Integral of the rate, in unit x ms. */
  readonly total: number;
  readonly coveredMs: number;
  /** Covered time that rests on uncertain readings or on a bridged hole. */
  readonly doubtfulMs: number;
}

/** What flowed between two instants, and how much of that time is known. */
export interface FlowStretch {
  /** In unit x ms. */
  readonly total: number;
  readonly coveredMs: number;
  readonly doubtfulMs: number;
}

const BLOCK_POINTS = 256;
const NOTHING: FlowStretch = { total: 0, coveredMs: 0, doubtfulMs: 0 };

export function emptyTrack(isStep: boolean): FlowTrack {
  return { blocks: [], tail: [], isStep };
}

/** The track with one more reading; a reading that is not newer than the last is left out. */
export function withReading(track: FlowTrack, reading: Reading, bridgedGapMsMax: number): FlowTrack {
  return extended(track, ratePoint(reading), bridgedGapMsMax);
}

/** The track with readings of the past, in any order, put where they belong; at one instant what was there first stays. */
export function withPast(track: FlowTrack, readings: readonly Reading[], bridgedGapMsMax: number): FlowTrack {
  const there = [...track.blocks.flat(), ...track.tail];
  const points = [...there, ...readings.map(ratePoint)].sort((a, b) => a.timeMs - b.timeMs);
  return points.reduce((grown, point) => extended(grown, point, bridgedGapMsMax), emptyTrack(track.isStep));
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
  const upTo = runningAt(track, window.toMs, window.heldMs);
  const before = runningAt(track, fromMs, window.heldMs);
  return {
    total: upTo.total - before.total,
    coveredMs: upTo.coveredMs - before.coveredMs,
    doubtfulMs: upTo.doubtfulMs - before.doubtfulMs,
  };
}

/** Time of the newest reading, or null. */
export function newestMs(track: FlowTrack): number | null {
  return track.tail.at(-1)?.timeMs ?? null;
}

function extended(track: FlowTrack, seen: RatePoint, bridgedGapMsMax: number): FlowTrack {
  const last = track.tail.at(-1);
  if (last !== undefined && seen.timeMs <= last.timeMs) return track;
  const tail = [...track.tail, nextPoint(track, seen, bridgedGapMsMax)];
  if (tail.length < BLOCK_POINTS) return { ...track, tail };
  return { ...track, blocks: [...track.blocks, tail], tail: tail.slice(-1) };
}

function ratePoint(reading: Reading): RatePoint {
  return { timeMs: reading.sourceTimeMs, rate: usableRate(reading), isDoubtful: reading.quality !== 'good' };
}

function nextPoint(track: FlowTrack, seen: RatePoint, bridgedGapMsMax: number): FlowPoint {
  const { timeMs, rate, isDoubtful } = seen;
  const last = track.tail.at(-1);
  if (last === undefined) return { timeMs, rate, ...NOTHING, isDoubtful };

  const spanMs = timeMs - last.timeMs;
  const isCovered = last.rate !== null && rate !== null && spanMs <= bridgedGapMsMax;
  if (!isCovered) return { ...last, timeMs, rate, isDoubtful };
  const meanRate = track.isStep ? last.rate : (last.rate + rate) / 2;
  return {
    timeMs,
    rate,
    total: last.total + meanRate * spanMs,
    coveredMs: last.coveredMs + spanMs,
    doubtfulMs: last.doubtfulMs + (isDoubtful || last.isDoubtful ? spanMs : 0),
    isDoubtful,
  };
}

function usableRate(reading: Reading): number | null {
  const isUsable: Record<Quality, boolean> = { good: true, uncertain: true, stale: false, bad: false };
  return isUsable[reading.quality] ? reading.value : null;
}

/** The running totals at an instant between, before or after the points. */
function runningAt(track: FlowTrack, timeMs: number, heldMs: number): FlowStretch {
  const { before, after } = around(track, timeMs);
  if (before === undefined) return after === undefined ? NOTHING : runningOf(after);
  if (after === undefined) return heldAfter(before, Math.min(timeMs - before.timeMs, heldMs));

  const share = (timeMs - before.timeMs) / (after.timeMs - before.timeMs);
  const coveredMs = (after.coveredMs - before.coveredMs) * share;
  return {
    total: before.total + partialTotal(track, { before, after, share }),
    coveredMs: before.coveredMs + coveredMs,
    doubtfulMs: before.doubtfulMs + (after.doubtfulMs - before.doubtfulMs) * share,
  };
}

function partialTotal(track: FlowTrack, at: { before: FlowPoint; after: FlowPoint; share: number }): number {
  const { before, after, share } = at;
  if (after.coveredMs === before.coveredMs || before.rate === null || after.rate === null) return 0;
  const spanMs = (after.timeMs - before.timeMs) * share;
  const endRate = track.isStep ? before.rate : before.rate + (after.rate - before.rate) * share;
  return ((before.rate + endRate) / 2) * spanMs;
}

function heldAfter(last: FlowPoint, spanMs: number): FlowStretch {
  if (last.rate === null || spanMs <= 0) return runningOf(last);
  return {
    total: last.total + last.rate * spanMs,
    coveredMs: last.coveredMs + spanMs,
    doubtfulMs: last.doubtfulMs + (last.isDoubtful ? spanMs : 0),
  };
}

function runningOf(point: FlowPoint): FlowStretch {
  return { total: point.total, coveredMs: point.coveredMs, doubtfulMs: point.doubtfulMs };
}

function around(track: FlowTrack, timeMs: number) {
  const tailStartMs = track.tail[0]?.timeMs ?? Infinity;
  const block =
    timeMs >= tailStartMs
      ? track.tail
      : track.blocks.find((candidate) => timeMs <= (candidate.at(-1)?.timeMs ?? -Infinity));
  const points = block ?? track.tail;
  const next = firstAfter(points, timeMs);
  return { before: points[next - 1], after: points[next] };
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
