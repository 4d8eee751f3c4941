import type { Quality } from '../contract/reading.ts';
import type { InstrumentError } from '../contract/tag-description.ts';
import { unknownEstimate, type Cause, type Estimate } from './estimate.ts';
import type { FlowStretch } from './flow-track.ts';

export interface RateRules {
  readonly lengthMs: number;
  readonly coveredRatioMin: number;
  /** A mean that lies below zero by no more than this is zero drift of a scale: 0, uncertain. */
  readonly zeroBand: number;
  /** What is stated of the instrument; null where nothing is. */
  readonly error: InstrumentError | null;
  /** Names the instrument: what it reads wrong, it reads wrong wherever it is used. */
  readonly instrument: string;
}

/** Half-width of 95 % of a normal distribution, in standard deviations. */
const HALF_95 = 1.96;

/**
 * The mean rate of one stretch.
 *
 *     mean = integral over the covered time / covered time
 *     half-width = tolerance of the instrument, scatter / sqrt(readings), and what a gap may have hidden
 *
 * Shape    one stretch and its rules in, one estimate out
 * Units    as the track's
 * Unknown  'window-uncovered' when too little of the window is covered, 'inputs-inconsistent' when the mean is below
 *          zero by more than zero drift
 * Throws   never
 * Source   handbook 0.3 and 0.5: trapezoid for analogue rates, gaps uncovered, small negative drift is 0 and uncertain
 *
 * @example 3600 kg/h for the first half of a minute and no reading in the second: 3600 kg/h, half covered
 */
export function rateEstimate(stretch: FlowStretch, rules: RateRules): Estimate {
  const coveredRatio = Math.min(1, stretch.coveredMs / rules.lengthMs);
  if (stretch.coveredMs <= 0 || coveredRatio < rules.coveredRatioMin)
    return unknownEstimate('window-uncovered');

  const mean = stretch.total / stretch.coveredMs;
  if (mean < -rules.zeroBand) return unknownEstimate('inputs-inconsistent');
  const quality: Quality = stretch.doubtfulMs > 0 || mean < 0 ? 'uncertain' : 'good';
  const value = Math.max(0, mean);
  const causes = causesOf(rules, { value, coveredRatio, count: stretch.count });
  return { known: true, value, quality, coveredRatio, causes };
}

function causesOf(
  { error, instrument }: RateRules,
  mean: { readonly value: number; readonly coveredRatio: number; readonly count: number },
): readonly Cause[] | null {
  if (error === null) return null;
  const { value, coveredRatio, count } = mean;
  const scatter = error.scatter + error.scatterRatio * value;
  const causes = [
    { cause: instrument, half: Math.hypot(error.tolerance, error.toleranceRatio * value) },
    { cause: `scatter ${instrument}`, half: (HALF_95 * scatter) / Math.sqrt(Math.max(1, count)) },
  ];
  // Where nothing was read anything from nothing to double may have flowed.
  if (coveredRatio < 1) causes.push({ cause: 'gaps', half: (1 - coveredRatio) * value });
  return causes;
}
