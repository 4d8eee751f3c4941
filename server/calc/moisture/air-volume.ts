import { expectPositive } from '../expect-positive.ts';
import { cubicMetresPerKilogram, KELVIN_AT_0_C, type CubicMetresPerKilogram } from '../units.ts';
import type { MoistAir } from './moist-air.ts';

/**
 * The room that moist air takes, a kg of dry air at a time.
 *
 *     v = 0.287042 (t + 273.15) (1 + 1.607858 w) / (p / 1000)
 *
 * Shape    one state of air in, one number out.
 * Units    degC, kg/kg, Pa -> m3/kg dry air
 * Unknown  none
 * Throws   RangeError when the pressure is not positive.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 26.
 *
 * @example 25 degC and 50 % at 101325 Pa: 0.85804 m3/kg
 */
export function airVolume({ temperature, humidityRatio, pressure }: MoistAir): CubicMetresPerKilogram {
  expectPositive('airVolume.pressure [Pa]', pressure);
  const dry = (287.042 * (temperature + KELVIN_AT_0_C)) / pressure;
  return cubicMetresPerKilogram(dry * (1 + 1.607_858 * humidityRatio));
}
