import { expectWithin } from '../expect-within.ts';
import { kilojoulesPerKilogram, type Celsius, type KilojoulesPerKilogram } from '../units.ts';

/**
 * The heat that free water takes to evaporate. Water bound in seed takes more, the drier the seed.
 *
 *     latent heat = 2501 - 2.361 t
 *
 * Shape    one temperature in, one number out.
 * Units    degC -> kJ/kg
 * Unknown  none
 * Throws   RangeError when the temperature is outside 0 to 100 degC.
 * Source   straight line through steam tables, common practice, no source.
 *
 * @example at 25 degC it is 2441.975 kJ/kg
 */
export function latentHeat(temperature: Celsius): KilojoulesPerKilogram {
  expectWithin('latentHeat.temperature [degC]', temperature, { low: 0, high: 100 });
  return kilojoulesPerKilogram(2501 - 2.361 * temperature);
}
