import { expectPositive } from '../expect-positive.ts';
import { robustScale } from './robust-scale.ts';

/**
 * The values without those that do not belong to the rest.
 *
 *     kept when |value - median| <= limit * deviation
 *
 * Shape    values in, those of them that are kept out, in their order; all of them where the spread is not known.
 * Units    x -> x
 * Unknown  none
 * Throws   RangeError when there is no value or the limit is not positive.
 * Source   Hampel identifier; a limit of 3 is common practice.
 *
 * @example of 1, 1, 2, 2, 4, 6 and 9 with a limit of 3, only 9 is left out
 */
export function withoutOutliers(values: readonly number[], limit: number): readonly number[] {
  expectPositive('withoutOutliers.limit [1]', limit);
  const { median, deviation } = robustScale(values);
  if (deviation === null) return values;
  return values.filter((value) => Math.abs(value - median) <= limit * deviation);
}
