import { at } from '../samples.ts';
import { putVarint, takeVarint, type ByteSink, type ByteSource } from './bytes.ts';
import { putIntegers, takeIntegers } from './integer-column.ts';

const MOST_DISTANCES = 101;

/**
 * Times in whole milliseconds. A poll repeats with a period and jitters about it, so each time is kept as the
 * number of periods since the one before and its distance from that grid:
 *
 *     timeMs[i] = timeMs[0] + period * (steps[1] + ... + steps[i]) + jitter[i]
 *
 * Jitter that is kept against the grid costs half of what it costs as a difference of neighbours.
 */
export function putTimes(sink: ByteSink, timeMs: Float64Array): void {
  const start = timeMs[0] ?? 0;
  const period = periodOf(timeMs);
  const steps = new Float64Array(timeMs.length);
  const jitter = new Float64Array(timeMs.length);
  let index = 0;
  for (let i = 0; i < timeMs.length; i++) {
    const sinceStart = (timeMs[i] ?? 0) - start;
    const nearest = Math.round(sinceStart / period);
    steps[i] = nearest - index;
    jitter[i] = sinceStart - nearest * period;
    index = nearest;
  }
  // The first is 0 by definition; written as its neighbour's it does not break a constant column.
  if (timeMs.length > 1) steps[0] = steps[1] ?? 0;
  putVarint(sink, start);
  putVarint(sink, period);
  putIntegers(sink, steps);
  putIntegers(sink, jitter);
}

export function takeTimes(source: ByteSource, length: number): Float64Array {
  const start = takeVarint(source);
  const period = takeVarint(source);
  const steps = takeIntegers(source, length);
  const jitter = takeIntegers(source, length);
  let index = 0;
  for (let i = 0; i < length; i++) {
    if (i > 0) index += steps[i] ?? 0;
    jitter[i] = start + index * period + (jitter[i] ?? 0);
  }
  return jitter;
}

/** The middle one of some distances, corrected by the whole length; 1 ms where times keep to no grid. */
function periodOf(timeMs: Float64Array): number {
  if (timeMs.length < 3) return 1;
  const distances = someDistances(timeMs);
  const middle = at(distances, distances.length >> 1);
  const upper = at(distances, Math.floor(distances.length * 0.9));
  if (middle < 2 || upper - middle > middle / 2) return 1;
  const span = at(timeMs, timeMs.length - 1) - at(timeMs, 0);
  const periods = Math.round(span / middle);
  return periods < 1 ? middle : Math.max(1, Math.round(span / periods));
}

/** In ascending order; a hundred of them tell as much as all. */
function someDistances(timeMs: Float64Array): Float64Array {
  const stride = Math.ceil((timeMs.length - 1) / MOST_DISTANCES);
  const length = Math.ceil((timeMs.length - 1) / stride);
  const distance = (_: unknown, i: number): number => at(timeMs, i * stride + 1) - at(timeMs, i * stride);
  return Float64Array.from({ length }, distance).sort();
}
