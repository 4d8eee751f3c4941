import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import {
  millilitresPer100Kilograms,
  type Kilograms,
  type Millilitres,
  type MillilitresPer100Kilograms,
} from '../units.ts';

export interface WindowDoseInputs {
  readonly liquid: Millilitres;
  readonly seed: Kilograms;
  /** Less seed than this in the window and the quotient is noise. */
  readonly seedFloor: Kilograms;
}

/**
 * How much liquid each 100 kg of seed received over a window: a quotient of totals, never a mean of quotients.
 *
 *     dose = 100 * liquid / seed
 *
 * Shape    totals of one window in, one figure out.
 * Units    mL, kg -> mL/100 kg
 * Unknown  'line-stopped' when seed < seedFloor.
 * Throws   RangeError when liquid or seed is negative, or the floor is not positive.
 * Source   dimensional identity.
 *
 * @example 4500 mL onto 1500 kg is 300 mL/100 kg
 */
export function doseOverWindow(inputs: WindowDoseInputs): Figure<MillilitresPer100Kilograms> {
  const { liquid, seed, seedFloor } = inputs;
  expectNotNegative('doseOverWindow.liquid [mL]', liquid);
  expectNotNegative('doseOverWindow.seed [kg]', seed);
  expectPositive('doseOverWindow.seedFloor [kg]', seedFloor);

  if (seed < seedFloor) return unknown('line-stopped');
  return known(millilitresPer100Kilograms((100 * liquid) / seed));
}
