import { sumOf } from '../sum-of.ts';
import { summaryOf } from './summary-of.ts';

/** Fewer values say nothing about how they hang together. */
const COUNT_MIN = 8;
/** Worth fewer than this, values drift rather than vary: no interval made of them holds what it promises. */
const EFFECTIVE_MIN = 4;
/** Lags beyond this share of the values rest on too few pairs. */
const LAG_SHARE_MAX = 1 / 3;

export interface EffectiveCount {
  readonly count: number;
  /** How many independent values say as much about the mean. */
  readonly effective: number;
  readonly mean: number;
  /** Standard deviation, corrected for the values' resemblance. */
  readonly standardDeviation: number;
}

/**
 * How many independent values are these worth? Readings a second apart resemble each other: a thousand of them say as
 * much about the mean as a few dozen that do not.
 *
 *     time = 1 + 2 * sum of r_k over lags, in pairs, while r_2m + r_2m+1 stays positive and falls
 *     effective = n / time;  deviation = sqrt(sum((x - mean)^2) / (n - time))
 *
 * Shape    evenly spaced values in order of time in, one answer out.
 * Units    x ... -> x
 * Unknown  null with fewer than eight values, or when they are worth less than four.
 * Throws   RangeError when a value is not finite.
 * Source   Geyer, Statistical Science 7 (1992) 473, initial monotone sequence, from memory; for a chain
 *          x_t = f * x_t-1 + noise the time is (1 + f) / (1 - f), exact.
 *
 * @example eight values that are all the same: effective 8, deviation 0
 */
export function effectiveCount(values: readonly number[]): EffectiveCount | null {
  const count = values.length;
  if (count < COUNT_MIN) return null;
  const { mean } = summaryOf(values);
  const distances = values.map((value) => value - mean);
  const squares = sumOf(distances.map((distance) => distance ** 2));
  if (squares === 0) return { count, effective: count, mean, standardDeviation: 0 };
  const time = resemblanceTime(distances, squares);
  const effective = Math.min(count, count / time);
  if (effective < EFFECTIVE_MIN) return null;
  return { count, effective, mean, standardDeviation: Math.sqrt(squares / (count - Math.max(1, time))) };
}

function resemblanceTime(distances: readonly number[], squares: number): number {
  const lagMax = Math.floor(distances.length * LAG_SHARE_MAX);
  const resemblance = (lag: number) => {
    let sum = 0;
    for (let index = lag; index < distances.length; index++) {
      sum += (distances[index] ?? 0) * (distances[index - lag] ?? 0);
    }
    return sum / squares;
  };
  let time = -1;
  let before = Infinity;
  for (let lag = 0; lag + 1 <= lagMax; lag += 2) {
    const pair = resemblance(lag) + resemblance(lag + 1);
    if (pair <= 0) break;
    before = Math.min(before, pair);
    time += 2 * before;
  }
  return time;
}
