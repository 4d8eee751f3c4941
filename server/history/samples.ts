import { timeOrder } from './time-order.ts';

/** Samples of one series as columns of equal length; value is NaN where there is none. */
export interface Samples {
  readonly timeMs: Float64Array;
  readonly value: Float64Array;
  readonly status: Uint8Array;
  readonly reason: Uint8Array;
}

/** Bytes of a sample: two doubles, status, reason. */
const SAMPLE_BYTES = 18;

export const NO_SAMPLES: Samples = emptySamples(0);

/** All columns in one buffer: thousands of series have one each, and grow. */
export function emptySamples(length: number): Samples {
  const buffer = new ArrayBuffer(length * SAMPLE_BYTES);
  return {
    timeMs: new Float64Array(buffer, 0, length),
    value: new Float64Array(buffer, 8 * length, length),
    status: new Uint8Array(buffer, 16 * length, length),
    reason: new Uint8Array(buffer, 17 * length, length),
  };
}

/** One number of a column; NaN beyond its end. */
export function at(column: Float64Array | Uint8Array | Uint32Array, i: number): number {
  return column[i] ?? NaN;
}

/** A view, not a copy. */
export function samplesBetween(samples: Samples, fromMs: number, toMs: number): Samples {
  const { timeMs } = samples;
  if (timeMs.length === 0 || ((timeMs[0] ?? 0) >= fromMs && (timeMs[timeMs.length - 1] ?? 0) < toMs))
    return samples;
  return samplesSlice(samples, firstAtOrAfter(timeMs, fromMs), firstAtOrAfter(timeMs, toMs));
}

/** A view, not a copy. */
export function samplesSlice(samples: Samples, from: number, to: number): Samples {
  return {
    timeMs: samples.timeMs.subarray(from, to),
    value: samples.value.subarray(from, to),
    status: samples.status.subarray(from, to),
    reason: samples.reason.subarray(from, to),
  };
}

/** Index of the first time that is not before `timeMs`, or the length. */
export function firstAtOrAfter(times: Float64Array, timeMs: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if ((times[middle] ?? 0) < timeMs) low = middle + 1;
    else high = middle;
  }
  return low;
}

export function isAscending(times: Float64Array): boolean {
  for (let i = 1; i < times.length; i++) if (!((times[i - 1] ?? 0) < (times[i] ?? 0))) return false;
  return true;
}

/** Ascending and each time once: of those with the same time the last to arrive stays. */
export function inTimeOrder(samples: Samples): Samples {
  const { timeMs } = samples;
  if (isAscending(timeMs)) return samples;
  const order = timeOrder(timeMs);
  const kept = order.filter((place, i) => {
    const next = order[i + 1];
    return next === undefined || timeMs[next] !== timeMs[place];
  });
  return picked(samples, kept);
}

/** Both ascending; where both have a time, the newer's sample stays. */
export function mergedSamples(older: Samples, newer: Samples): Samples {
  if (older.timeMs.length === 0) return newer;
  if (newer.timeMs.length === 0) return older;
  if (lastTime(older) < (newer.timeMs[0] ?? 0)) return joinedSamples([older, newer]);
  return inTimeOrder(joinedSamples([older, newer]));
}

export function joinedSamples(parts: readonly Samples[]): Samples {
  const [only] = parts;
  if (parts.length === 1 && only !== undefined) return only;
  const joined = emptySamples(parts.reduce((sum, part) => sum + part.timeMs.length, 0));
  let done = 0;
  for (const part of parts) {
    joined.timeMs.set(part.timeMs, done);
    joined.value.set(part.value, done);
    joined.status.set(part.status, done);
    joined.reason.set(part.reason, done);
    done += part.timeMs.length;
  }
  return joined;
}

export function picked(samples: Samples, indices: Uint32Array): Samples {
  const result = emptySamples(indices.length);
  for (let i = 0; i < indices.length; i++) {
    const from = at(indices, i);
    result.timeMs[i] = at(samples.timeMs, from);
    result.value[i] = at(samples.value, from);
    result.status[i] = at(samples.status, from);
    result.reason[i] = at(samples.reason, from);
  }
  return result;
}

function lastTime(samples: Samples): number {
  return samples.timeMs[samples.timeMs.length - 1] ?? -Infinity;
}
