import { expectInTimeOrder } from './expect-in-time-order.ts';
import { expectNotNegative } from './expect-not-negative.ts';
import { figureInputError } from './figure-input-error.ts';

/** One value of a signal; null is a reading that carries no usable value and ends what came before it. */
export interface Sample<Value extends number = number> {
  readonly timeMs: number;
  readonly value: Value | null;
}

export interface TimeWindow {
  readonly fromMs: number;
  readonly toMs: number;
}

/** How a signal runs between two samples: on a straight line (analogues), or held until the next (states, set values). */
type Between = 'linear' | 'step';

export interface IntegralRules {
  readonly between: Between;
  /** Two samples further apart than this have a gap between them, not a line. */
  readonly maxGapMs: number;
}

export interface CoveredIntegral {
  /** Value times milliseconds, over the covered part of the window only. */
  readonly integral: number;
  readonly coveredMs: number;
}

/**
 * The area under a signal within a window, and for how much of the window it is known.
 *
 *     integral = sum over pairs of samples of mean value * time between them
 *
 * Shape    samples in time order, one window in; one area and the time it covers out. Samples outside the window help
 *          at its edges. After the last sample its value is held to the end of the window, if that is within maxGapMs.
 * Units    x -> x * ms
 * Unknown  none: where nothing is known the area gains nothing, and coveredMs says so.
 * Throws   RangeError when samples are out of time order, the window ends before it begins, or maxGapMs is negative.
 * Source   trapezoidal rule; rectangle rule for held values.
 *
 * @example 0 at 0 ms and 10 at 1000 ms, on a straight line: 5000 over 0 to 1000 ms, of which 1000 ms are covered
 */
export function coveredIntegral(
  samples: readonly Sample[],
  window: TimeWindow,
  rules: IntegralRules,
): CoveredIntegral {
  expectInTimeOrder('coveredIntegral.samples', samples);
  expectNotNegative('coveredIntegral.maxGapMs [ms]', rules.maxGapMs);
  if (!(window.toMs >= window.fromMs)) {
    throw figureInputError('coveredIntegral.window.toMs [ms]', window.toMs, `>= ${window.fromMs}`);
  }

  let integral = 0;
  let coveredMs = 0;
  for (const [index, sample] of samples.entries()) {
    const next = samples[index + 1] ?? { timeMs: Math.max(window.toMs, sample.timeMs), value: sample.value };
    const part = partBetween(sample, next, rules);
    if (part === null) continue;
    const fromMs = Math.max(sample.timeMs, window.fromMs);
    const toMs = Math.min(next.timeMs, window.toMs);
    if (toMs <= fromMs) continue;
    integral += part((fromMs + toMs) / 2) * (toMs - fromMs);
    coveredMs += toMs - fromMs;
  }
  return { integral, coveredMs };
}

/** The signal between two samples as a function of time, or null where it is not known. */
function partBetween(
  sample: Sample,
  next: Sample,
  rules: IntegralRules,
): ((timeMs: number) => number) | null {
  const { value } = sample;
  const lengthMs = next.timeMs - sample.timeMs;
  if (value === null || lengthMs > rules.maxGapMs) return null;
  if (rules.between === 'step') return () => value;
  if (next.value === null) return null;
  const slope = lengthMs === 0 ? 0 : (next.value - value) / lengthMs;
  return (timeMs) => value + slope * (timeMs - sample.timeMs);
}
