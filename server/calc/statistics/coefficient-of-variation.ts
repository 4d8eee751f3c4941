import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Ratio } from '../units.ts';
import { summaryOf } from './summary-of.ts';

/**
 * How much values differ among themselves, as a share of their mean.
 *
 *     variation = standard deviation (n - 1) / mean
 *
 * Shape    at least two values in, one ratio out.
 * Units    x ... -> 1
 * Unknown  'window-uncovered' with fewer than two values; 'line-stopped' when their mean is not positive.
 * Throws   RangeError when a value is not finite.
 * Source   definition.
 *
 * @example 9, 10 and 11 vary by 0.1
 */
export function coefficientOfVariation(values: readonly number[]): Figure<Ratio> {
  const { count, mean, standardDeviation } = summaryOf(values);
  if (count < 2) return unknown('window-uncovered');
  if (mean <= 0) return unknown('line-stopped');
  return known(ratio(standardDeviation / mean));
}
