import { expectProbability } from './expect-probability.ts';
import type { EffectiveCount } from './effective-count.ts';
import { studentQuantile } from './student-quantile.ts';

export interface MeanDifference {
  readonly difference: number;
  readonly low: number;
  readonly high: number;
}

/**
 * By how much did the mean change, and between which limits does the true change lie?
 *
 *     difference = after - before
 *     error^2 = s_before^2 / n_before + s_after^2 / n_after, with n the effective counts
 *     limits = difference -/+ t(confidence, freedom) * error
 *
 * Shape    two samples as `effectiveCount` says them, one confidence in; one difference with its interval out.
 * Units    x, x -> x
 * Unknown  none: what cannot carry an interval has no effective count.
 * Throws   RangeError unless the confidence lies between 0 and 1.
 * Source   Welch, Biometrika 34 (1947) 28, with the effective counts in place of the counts (common practice, no source).
 *
 * @example 10 +/- 2 of 16 before, 13 +/- 2 of 16 after: 3, from 1.556 to 4.444 with 95 %
 */
export function differenceOfMeans(
  sides: { readonly before: EffectiveCount; readonly after: EffectiveCount },
  confidence: number,
): MeanDifference {
  expectProbability('differenceOfMeans.confidence [1]', confidence);
  const { before, after } = sides;
  const difference = after.mean - before.mean;
  const [one, other] = [before, after].map(
    ({ standardDeviation, effective }) => standardDeviation ** 2 / effective,
  ) as [number, number];
  const variance = one + other;
  if (variance === 0) return { difference, low: difference, high: difference };
  const freedom = variance ** 2 / (one ** 2 / (before.effective - 1) + other ** 2 / (after.effective - 1));
  const reach = studentQuantile((1 + confidence) / 2, freedom) * Math.sqrt(variance);
  return { difference, low: difference - reach, high: difference + reach };
}
