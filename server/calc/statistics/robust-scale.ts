import { medianOf } from './median-of.ts';

export interface RobustScale {
  readonly median: number;
  /** What the standard deviation would be, were the values normal; null when more than half of them are the same. */
  readonly deviation: number | null;
}

/** 1 / normal quantile of 0.75: makes the median distance of normal values their standard deviation. */
const NORMAL_PER_MEDIAN_DISTANCE = 1.482_602_218_505_602;

/**
 * Where values lie and how far they spread, whatever a few of them do.
 *
 *     deviation = 1.4826 * median(|value - median(values)|)
 *
 * Shape    at least one value in, middle and spread out.
 * Units    x -> x
 * Unknown  deviation is null when the median distance is zero: the signal is stuck, or moves in coarse steps.
 * Throws   RangeError when there is no value.
 * Source   median absolute deviation, Hampel, J. Amer. Statist. Assoc. 69 (1974) 383.
 *
 * @example 1, 1, 2, 2, 4, 6 and 9: median 2, deviation 1.4826
 */
export function robustScale(values: readonly number[]): RobustScale {
  const median = medianOf(values);
  const distance = medianOf(values.map((value) => Math.abs(value - median)));
  return { median, deviation: distance === 0 ? null : NORMAL_PER_MEDIAN_DISTANCE * distance };
}
