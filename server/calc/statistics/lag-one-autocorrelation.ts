import { sumOf } from '../sum-of.ts';
import { summaryOf } from './summary-of.ts';

/**
 * How much each value leans on the one before it. A control chart believes that it does not: sample until it does not.
 *
 *     r = sum((x_t - mean)(x_t+1 - mean)) / sum((x_t - mean)^2)
 *
 * Shape    values in order of time in, one number from -1 to 1 out.
 * Units    x -> 1
 * Unknown  null with fewer than three values, or when all are the same.
 * Throws   RangeError when a value is not finite.
 * Source   NIST StRD, univariate summary statistics.
 *
 * @example 10000001, 10000003, 10000002: -0.5
 */
export function lagOneAutocorrelation(values: readonly number[]): number | null {
  const { mean } = summaryOf(values);
  const distances = values.map((value) => value - mean);
  const squares = sumOf(distances.map((distance) => distance ** 2));
  if (values.length < 3 || squares === 0) return null;
  const products = distances.slice(1).map((distance, index) => distance * (distances[index] ?? 0));
  return sumOf(products) / squares;
}
