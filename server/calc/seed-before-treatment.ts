import { expectNotNegative } from './expect-not-negative.ts';
import { known, unknown, type Figure } from './figure.ts';
import { kilograms, type Kilograms } from './units.ts';

/**
 * How much seed there is in treated seed: the yield counts seed, not the liquid on it.
 *
 *     seed = treated - liquid retained
 *
 * Shape    totals of one window in, one mass out.
 * Units    kg, kg -> kg
 * Unknown  'inputs-inconsistent' when more liquid was retained than the treated seed weighs.
 * Throws   RangeError when a mass is negative.
 * Source   conservation of mass.
 *
 * @example 10055 kg treated seed with 55 kg liquid on it are 10000 kg seed
 */
export function seedBeforeTreatment(treated: Kilograms, liquid: Kilograms): Figure<Kilograms> {
  expectNotNegative('seedBeforeTreatment.treated [kg]', treated);
  expectNotNegative('seedBeforeTreatment.liquid [kg]', liquid);
  return liquid > treated ? unknown('inputs-inconsistent') : known(kilograms(treated - liquid));
}
