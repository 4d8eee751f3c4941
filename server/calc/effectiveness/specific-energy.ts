import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import {
  kilowattHoursPerTonne,
  type Kilograms,
  type KilowattHours,
  type KilowattHoursPerTonne,
} from '../units.ts';

export interface EnergyInputs {
  readonly energy: KilowattHours;
  /** Feed or product: the report says which. */
  readonly seed: Kilograms;
  /** Less seed than this and the quotient is noise. */
  readonly seedFloor: Kilograms;
}

/**
 * How much energy a tonne of seed took.
 *
 *     specific energy = 1000 * energy / seed
 *
 * Shape    totals of one window in, one figure out.
 * Units    kWh, kg -> kWh/t
 * Unknown  'line-stopped' when seed < seedFloor.
 * Throws   RangeError when energy or seed is negative, or the floor not positive.
 * Source   definition.
 *
 * @example 186 kWh for 24500 kg are 7.5918 kWh/t
 */
export function specificEnergy({ energy, seed, seedFloor }: EnergyInputs): Figure<KilowattHoursPerTonne> {
  expectNotNegative('specificEnergy.energy [kWh]', energy);
  expectNotNegative('specificEnergy.seed [kg]', seed);
  expectPositive('specificEnergy.seedFloor [kg]', seedFloor);
  if (seed < seedFloor) return unknown('line-stopped');
  return known(kilowattHoursPerTonne((1000 * energy) / seed));
}
