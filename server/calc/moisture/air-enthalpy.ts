import { kilojoulesPerKilogram, type KilojoulesPerKilogram } from '../units.ts';
import type { MoistAir } from './moist-air.ts';

/**
 * How much heat the air carries, counted from dry air and water at 0 degC.
 *
 *     h = 1.006 t + w (2501 + 1.86 t)
 *
 * Shape    one state of air in, one number out.
 * Units    degC, kg/kg -> kJ/kg dry air
 * Unknown  none
 * Throws   never
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 30.
 *
 * @example 40 degC with 0.0064 kg/kg: 56.7 kJ/kg
 */
export function airEnthalpy({ temperature, humidityRatio }: MoistAir): KilojoulesPerKilogram {
  return kilojoulesPerKilogram(1.006 * temperature + humidityRatio * (2501 + 1.86 * temperature));
}
