import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { ratio, type MillilitresPer100Kilograms, type Ratio } from '../units.ts';

/**
 * How far the dose is from its target, as a share of the target; positive is too much.
 *
 *     deviation = (actual - target) / target
 *
 * Shape    one dose and its target in, one ratio out.
 * Units    mL/100 kg, mL/100 kg -> 1
 * Unknown  none
 * Throws   RangeError when the actual dose is negative or the target is not positive.
 * Source   definition.
 *
 * @example 306 mL/100 kg for a target of 300 is a deviation of 0.02
 */
export function doseDeviation(actual: MillilitresPer100Kilograms, target: MillilitresPer100Kilograms): Ratio {
  expectNotNegative('doseDeviation.actual [mL/100kg]', actual);
  expectPositive('doseDeviation.target [mL/100kg]', target);
  return ratio((actual - target) / target);
}
