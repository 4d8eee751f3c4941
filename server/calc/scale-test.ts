import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { ratio, type Kilograms, type Ratio } from './units.ts';

export interface ScaleTestResult {
  /** What the scale shows too much, as a share of the truth. */
  readonly error: Ratio;
  readonly stands: boolean;
}

/**
 * Whether a scale showed what was really there.
 *
 *     error = (shown - truth) / truth;  stands when |error| <= tolerance
 *
 * Shape    one test load and the tolerance of the scale's class in, one verdict out.
 * Units    kg, kg, 1 -> 1
 * Unknown  none
 * Throws   RangeError when what was shown is negative, or the truth or the tolerance not positive.
 * Source   NIST Handbook 44: 2.21 allows a belt-conveyor scale 0.25 % of the load; other classes have others.
 *
 * @example 20050 kg shown for 20000 kg at 0.25 %: an error of exactly 0.0025, which stands
 */
export function scaleTest(
  load: { readonly shown: Kilograms; readonly truth: Kilograms },
  tolerance: Ratio,
): ScaleTestResult {
  expectNotNegative('scaleTest.shown [kg]', load.shown);
  expectPositive('scaleTest.truth [kg]', load.truth);
  expectPositive('scaleTest.tolerance [1]', tolerance);
  const stands = Math.abs(load.shown - load.truth) <= tolerance * load.truth;
  return { error: ratio((load.shown - load.truth) / load.truth), stands };
}
