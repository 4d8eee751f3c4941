import { EMPTY_SUMMARY, standardDeviationOf, withValue } from './running-summary.ts';

export interface Summary {
  readonly count: number;
  readonly mean: number;
  /** With n - 1; 0 for fewer than two values. */
  readonly standardDeviation: number;
}

/**
 * Mean and standard deviation of values at hand.
 *
 *     mean = sum / n;  standard deviation = sqrt(sum of squared distances / (n - 1))
 *
 * Shape    any number of values in, one summary out; the mean of none is 0.
 * Units    x ... -> x
 * Unknown  none: `count` says how much the rest is worth.
 * Throws   RangeError when a value is not finite.
 * Source   Welford's update, see `running-summary.ts`.
 *
 * @example 1, 2 and 6: mean 3, standard deviation sqrt(7)
 */
export function summaryOf(values: readonly number[]): Summary {
  const running = values.reduce(withValue, EMPTY_SUMMARY);
  return { count: running.count, mean: running.mean, standardDeviation: standardDeviationOf(running) };
}
