import { expectFinite } from '../expect-finite.ts';
import { expectNotNegative } from '../expect-not-negative.ts';
import { figureInputError } from '../figure-input-error.ts';

/**
 * The exponentially weighted moving average after one more value.
 *
 *     average' = weight * value + (1 - weight) * average
 *
 * Shape    the average so far (the target, at first) and one value in, one average out.
 * Units    x -> x
 * Unknown  none
 * Throws   RangeError when the weight is not more than 0 and at most 1, or a value is not finite.
 * Source   NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
 *
 * @example from 50, the value 52 with a weight of 0.3 leads to 50.6
 */
export function ewma(average: number, value: number, weight: number): number {
  expectWeight('ewma.weight [1]', weight);
  expectFinite('ewma.average', average);
  expectFinite('ewma.value', value);
  return weight * value + (1 - weight) * average;
}

export interface EwmaChart {
  readonly weight: number;
  /** Standard deviation of one value. */
  readonly deviation: number;
  /** Width of the limits in standard deviations of the average. */
  readonly width: number;
}

/**
 * How far from the target the average may lie after a number of values.
 *
 *     limit = width * deviation * sqrt(weight / (2 - weight) * (1 - (1 - weight)^(2 * count)))
 *
 * Shape    one chart and the number of values so far in (Infinity for the limit that it comes to), a distance out.
 * Units    x -> x
 * Unknown  none
 * Throws   RangeError when the weight is not more than 0 and at most 1, or another argument is negative.
 * Source   NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.4.
 *
 * @example weight 0.3, deviation 2.0539, width 3: in the end 2.5884
 */
export function ewmaLimit(chart: EwmaChart, count: number): number {
  const { weight, deviation, width } = chart;
  expectWeight('ewmaLimit.weight [1]', weight);
  expectNotNegative('ewmaLimit.deviation', deviation);
  expectNotNegative('ewmaLimit.width [1]', width);
  if (!(count >= 0)) throw figureInputError('ewmaLimit.count [1]', count, '>= 0');
  const settled = weight === 1 && count > 0 ? 1 : 1 - (1 - weight) ** (2 * count);
  return width * deviation * Math.sqrt((weight / (2 - weight)) * settled);
}

function expectWeight(subject: string, weight: number): void {
  const isWeight = weight > 0 && weight <= 1;
  if (!isWeight) throw figureInputError(subject, weight, 'more than 0 and at most 1');
}
