import { expectFinite } from '../expect-finite.ts';

/** What is known after some values, so that the next one can be added without keeping them. */
export interface RunningSummary {
  readonly count: number;
  readonly mean: number;
  /** Sum of squared distances from the mean. */
  readonly squares: number;
}

export const EMPTY_SUMMARY: RunningSummary = { count: 0, mean: 0, squares: 0 };

/**
 * Mean and standard deviation after one more value, without keeping the values.
 *
 *     mean' = mean + (x - mean) / n;  squares' = squares + (x - mean) * (x - mean')
 *
 * Shape    what is known so far and one value in, what is known now out.
 * Units    x -> x
 * Unknown  none
 * Throws   RangeError when the value is not finite.
 * Source   Welford, Technometrics 4 (1962) 419. A sum of squares would lose its digits on a large mean.
 *
 * @example after 10000001, 10000003 and 10000002 the mean is 10000002 and the standard deviation 1
 */
export function withValue(soFar: RunningSummary, value: number): RunningSummary {
  expectFinite('withValue.value', value);
  const count = soFar.count + 1;
  const mean = soFar.mean + (value - soFar.mean) / count;
  return { count, mean, squares: soFar.squares + (value - soFar.mean) * (value - mean) };
}

/** The standard deviation with n - 1; 0 for fewer than two values. */
export function standardDeviationOf({ count, squares }: RunningSummary): number {
  return count < 2 ? 0 : Math.sqrt(squares / (count - 1));
}
