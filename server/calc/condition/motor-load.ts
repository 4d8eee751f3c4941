import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { ratio, type Kilowatts, type Ratio } from '../units.ts';

/**
 * How hard a motor works: its shaft power as a share of what it is rated for.
 *
 *     load = power taken * efficiency / rated power
 *
 * Shape    one instant and the motor's plate in, one ratio out; above 1 it is overloaded.
 * Units    kW, 1, kW -> 1
 * Unknown  none
 * Throws   RangeError when the power is negative, the rated power not positive, or the efficiency outside 0 to 1.
 * Source   definition.
 *
 * @example 33 kW taken at an efficiency of 0.9 by a motor of 30 kW: 0.99
 */
export function motorLoad(
  taken: Kilowatts,
  plate: { readonly ratedPower: Kilowatts; readonly efficiency: Ratio },
): Ratio {
  expectNotNegative('motorLoad.taken [kW]', taken);
  expectPositive('motorLoad.ratedPower [kW]', plate.ratedPower);
  expectWithin('motorLoad.efficiency [1]', plate.efficiency, { low: 0, high: 1 });
  return ratio((taken * plate.efficiency) / plate.ratedPower);
}
