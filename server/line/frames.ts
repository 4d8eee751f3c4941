import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';

export interface FrameTiming {
  readonly tickMs: number;
  /** How long a frame waits for readings that are under way; a reading that comes later is late. */
  readonly holdBackMs: number;
}

export interface FramesState {
  /** Where the last frame ended; null before the first reading. */
  readonly endMs: number | null;
  readonly pending: readonly Reading[];
  readonly latest: ReadonlyMap<string, Reading>;
}

export interface FramesStep {
  readonly state: FramesState;
  readonly frames: readonly Frame[];
  /** Came after their frame was made: they go to history, marked late, and change no alarm. */
  readonly late: readonly Reading[];
}

export const NO_FRAMES_YET: FramesState = { endMs: null, pending: [], latest: new Map() };

/** After a long sleep the frames that were missed are made in portions, so that no tick takes seconds. */
const FRAMES_A_STEP_MAX = 400;
/** The first frame begins at most this long ago and holds all that stood before. */
const FIRST_LOOK_BACK_MS = 2000;
/** A plant clock set back by more than this starts a new time line instead of making everything late. */
const CLOCK_STEP_BACK_MS = 5000;

/**
 * The frames of recorded readings: the same as were made live from the same arrivals.
 *
 * Shape    readings in order of arrival -> frames in ascending time, up to that of the newest reading
 * Units    ms
 * Throws   never
 * Source   none; definition of this project (DEVELOPERS.md, "frame")
 *
 * @example readings at 10, 240 and 260 ms, ticks of 250 ms: the first frame holds two, the second one
 */
export function framesFrom(
  readings: readonly Reading[],
  tickMs: number,
  holdBackMs: number,
): readonly Frame[] {
  const timing = { tickMs, holdBackMs };
  const frames: Frame[] = [];
  let state = NO_FRAMES_YET;
  for (const batch of batchesByTick(readings, tickMs)) {
    const step = stepFrames(state, { arrived: batch.readings, nowMs: batch.nowMs }, timing);
    state = step.state;
    frames.push(...step.frames);
  }
  for (let last = state.pending.at(-1); last !== undefined; last = state.pending.at(-1)) {
    const nowMs = Math.ceil(last.sourceTimeMs / tickMs) * tickMs + holdBackMs;
    const step = stepFrames(state, { arrived: [], nowMs }, timing);
    state = step.state;
    frames.push(...step.frames);
  }
  return frames;
}

/** One tick of framing: takes what has arrived, gives the frames whose hold-back is over. */
export function stepFrames(
  before: FramesState,
  input: { readonly arrived: readonly Reading[]; readonly nowMs: number },
  timing: FrameTiming,
): FramesStep {
  const dueMs = Math.floor((input.nowMs - timing.holdBackMs) / timing.tickMs) * timing.tickMs;
  const state = dueMs < (before.endMs ?? dueMs) - CLOCK_STEP_BACK_MS ? { ...before, endMs: null } : before;
  const { onTime, late } = sorted(input.arrived, state.endMs);
  const pending = merged(state.pending, onTime);
  const latest = withLate(state.latest, late);

  const startMs = state.endMs ?? firstStart(pending[0]?.sourceTimeMs ?? dueMs, dueMs, timing.tickMs);
  // Before the first frame is due an earlier reading may still come and be the first.
  if (state.endMs === null && dueMs <= startMs)
    return { state: { endMs: null, pending, latest }, frames: [], late };
  return { ...framesUntil({ endMs: startMs, pending, latest }, dueMs, timing.tickMs), late };
}

function framesUntil(from: FramesState & { readonly endMs: number }, dueMs: number, tickMs: number) {
  const frames: Frame[] = [];
  let { endMs, latest } = from;
  let taken = 0;
  while (endMs + tickMs <= dueMs && frames.length < FRAMES_A_STEP_MAX) {
    endMs += tickMs;
    const first = taken;
    while (taken < from.pending.length && (from.pending[taken]?.sourceTimeMs ?? Infinity) <= endMs)
      taken += 1;
    const readings = from.pending.slice(first, taken);
    latest = withNewest(latest, readings);
    frames.push({ endMs, tickMs, readings, latest });
  }
  return { state: { endMs, pending: from.pending.slice(taken), latest }, frames };
}

/** A contact that has not moved since yesterday comes with yesterday's time: it belongs into the first frame. */
function firstStart(firstMs: number, dueMs: number, tickMs: number): number {
  const lookBack = Math.ceil(FIRST_LOOK_BACK_MS / tickMs) * tickMs;
  return Math.max(Math.ceil(firstMs / tickMs) * tickMs - tickMs, dueMs - lookBack);
}

function sorted(arrived: readonly Reading[], endMs: number | null) {
  if (endMs === null) return { onTime: arrived, late: [] };
  return {
    onTime: arrived.filter((reading) => reading.sourceTimeMs > endMs),
    late: arrived.filter((reading) => reading.sourceTimeMs <= endMs),
  };
}

/** Stable, so that two readings of one instant keep their order of arrival. */
function merged(pending: readonly Reading[], onTime: readonly Reading[]): readonly Reading[] {
  if (onTime.length === 0) return pending;
  return [...pending, ...onTime].sort((a, b) => a.sourceTimeMs - b.sourceTimeMs);
}

function withNewest(latest: ReadonlyMap<string, Reading>, readings: readonly Reading[]) {
  if (readings.length === 0) return latest;
  const next = new Map(latest);
  for (const reading of readings) next.set(reading.tag, reading);
  return next;
}

/** A contact that changed once and arrived late must not look unchanged until it changes again. */
function withLate(latest: ReadonlyMap<string, Reading>, late: readonly Reading[]) {
  const newer = late.filter(
    (reading) => reading.sourceTimeMs > (latest.get(reading.tag)?.sourceTimeMs ?? -Infinity),
  );
  return withNewest(latest, newer);
}

function* batchesByTick(readings: readonly Reading[], tickMs: number) {
  let first = 0;
  while (first < readings.length) {
    const start = readings[first];
    if (start === undefined) return;
    const nowMs = Math.ceil((start.arrivalMs + 1) / tickMs) * tickMs;
    let next = first;
    while (next < readings.length && (readings[next]?.arrivalMs ?? Infinity) < nowMs) next += 1;
    yield { nowMs, readings: readings.slice(first, next) };
    first = next;
  }
}
