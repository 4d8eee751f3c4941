import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import { kilograms, type Kilograms, type Ratio } from '../units.ts';

/** Moistures as a share of the wet mass. */
export interface MoistureChange {
  readonly from: Ratio;
  readonly to: Ratio;
}

/** Beyond it no seed is weighed; the number is a slip of the pen or a broken sensor. */
const MOISTURE_ENDS = { low: 0, high: 0.6 };

/**
 * What seed weighs once it is dried, or wetted, to another moisture. The difference is the water removed, or gained.
 *
 *     mass at `to` = mass * (1 - from) / (1 - to)
 *
 * Shape    one mass and two moistures in, one mass out. Dust and handling losses are no part of it.
 * Units    kg, 1 (wet basis) -> kg
 * Unknown  none
 * Throws   RangeError when the mass is negative or a moisture is outside 0 to 0.6.
 * Source   conservation of dry matter.
 *
 * @example 1000 kg of 16 % weigh 943.82 kg at 11 %
 */
export function massAtMoisture(mass: Kilograms, { from, to }: MoistureChange): Kilograms {
  expectNotNegative('massAtMoisture.mass [kg]', mass);
  expectWithin('massAtMoisture.from [1]', from, MOISTURE_ENDS);
  expectWithin('massAtMoisture.to [1]', to, MOISTURE_ENDS);
  return kilograms((mass * (1 - from)) / (1 - to));
}
