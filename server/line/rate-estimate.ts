import type { Quality } from '../contract/reading.ts';
import { unknownEstimate, type Estimate } from './estimate.ts';
import { flowBetween, newestMs, type FlowTrack } from './flow-track.ts';

export interface RateWindow {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface RateRules {
  /** A held value counts for this long after its reading. */
  readonly heldMs: number;
  readonly coveredRatioMin: number;
  /** A mean that lies below zero by no more than this is zero drift of a scale: 0, uncertain. */
  readonly zeroBand: number;
}

/**
 * The mean rate of one track over a window.
 *
 *     mean = integral over the covered time / covered time
 *
 * Shape    one track and one window in, one estimate out
 * Units    as the track's
 * Unknown  'waiting-for-first-reading' before any reading, 'window-uncovered' when too little of the window is
 *          covered, 'inputs-inconsistent' when the mean is below zero by more than zero drift
 * Throws   never
 * Source   handbook 0.3 and 0.5: trapezoid for analogue rates, gaps uncovered, small negative drift is 0 and uncertain
 *
 * @example 3600 kg/h for the first half of a minute and no reading in the second: 3600 kg/h, half covered
 */
export function rateEstimate(track: FlowTrack | undefined, window: RateWindow, rules: RateRules): Estimate {
  if (track === undefined || newestMs(track) === null) return unknownEstimate('waiting-for-first-reading');
  const stretch = flowBetween(track, window.fromMs, { toMs: window.toMs, heldMs: rules.heldMs });
  const coveredRatio = stretch.coveredMs / (window.toMs - window.fromMs);
  if (stretch.coveredMs <= 0 || coveredRatio < rules.coveredRatioMin)
    return unknownEstimate('window-uncovered');

  const mean = stretch.total / stretch.coveredMs;
  if (mean < -rules.zeroBand) return unknownEstimate('inputs-inconsistent');
  const quality: Quality = stretch.doubtfulMs > 0 || mean < 0 ? 'uncertain' : 'good';
  return { known: true, value: Math.max(0, mean), quality, coveredRatio: Math.min(1, coveredRatio) };
}
