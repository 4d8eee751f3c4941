import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { KELVIN_AT_0_C, ratio, type Celsius, type Pascals, type Ratio } from '../units.ts';

const STANDARD_KELVIN = 293.15;
const STANDARD_PA = 101_325;

/**
 * How dense the air is, beside standard air of 20 degC and 101325 Pa.
 *
 *     density ratio = (293.15 / (273.15 + temperature)) * (pressure / 101325)
 *
 * Shape    one instant in, one ratio out; the little that moisture takes off is left out.
 * Units    degC, Pa -> 1
 * Unknown  none
 * Throws   RangeError when the temperature is outside -100 to 200 degC or the pressure not positive.
 * Source   ideal gas.
 *
 * @example at 40 degC and 101325 Pa it is 0.93613
 */
export function airDensityRatio(temperature: Celsius, pressure: Pascals): Ratio {
  expectWithin('airDensityRatio.temperature [degC]', temperature, { low: -100, high: 200 });
  expectPositive('airDensityRatio.pressure [Pa]', pressure);
  return ratio((STANDARD_KELVIN / (KELVIN_AT_0_C + temperature)) * (pressure / STANDARD_PA));
}
