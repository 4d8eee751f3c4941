import { coveredIntegral, type IntegralRules, type Sample, type TimeWindow } from './covered-integral.ts';
import {
  kilograms,
  milliseconds,
  MS_PER_HOUR,
  type Kilograms,
  type KilogramsPerHour,
  type Milliseconds,
} from './units.ts';

export interface CoveredTotal {
  readonly total: Kilograms;
  /** The part of the window that readings speak for; the total holds nothing for the rest. */
  readonly coveredMs: Milliseconds;
}

/**
 * How much seed passed within a window, from readings of its flow.
 *
 *     total = integral of rate over the covered part of the window
 *
 * Shape    readings in time order and one window in; one total and the time it covers out.
 * Units    kg/h, ms -> kg, ms
 * Unknown  none: a gap longer than maxGapMs, or after a bad reading, adds nothing and is missing in coveredMs.
 * Throws   RangeError when readings are out of time order, the window ends before it begins, or maxGapMs is negative.
 * Source   trapezoidal rule for analogues, rectangle rule for held values.
 *
 * @example 9000 kg/h at 0 s and at 60 s, over 0 to 60 s: 150 kg, all of it covered
 */
export function totalFromRate(
  rates: readonly Sample<KilogramsPerHour>[],
  window: TimeWindow,
  rules: IntegralRules,
): CoveredTotal {
  const { integral, coveredMs } = coveredIntegral(rates, window, rules);
  return { total: kilograms(integral / MS_PER_HOUR), coveredMs: milliseconds(coveredMs) };
}
