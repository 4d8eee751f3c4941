import { expectWithin } from '../expect-within.ts';
import { KELVIN_AT_0_C, pascals, type Celsius, type Pascals } from '../units.ts';

/** Below it water freezes, above it ice melts. */
const TRIPLE_POINT_C = 0.01;
const TEMPERATURE_ENDS_C = { low: -100, high: 200 };

/**
 * The pressure of water vapour that air can hold, over ice or over water.
 *
 *     ln(p) = c / T + polynomial(T) + d * ln(T), T in kelvin
 *
 * Shape    one temperature in, one pressure out.
 * Units    degC -> Pa
 * Unknown  none
 * Throws   RangeError when the temperature is outside -100 to 200 degC.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 5 (ice) and 6 (water), after Hyland & Wexler (1983).
 *
 * @example at 25 degC it is 3169.7 Pa
 */
export function saturationPressure(temperature: Celsius): Pascals {
  expectWithin('saturationPressure.temperature [degC]', temperature, TEMPERATURE_ENDS_C);
  const t = temperature + KELVIN_AT_0_C;
  return pascals(Math.exp(temperature <= TRIPLE_POINT_C ? overIce(t) : overWater(t)));
}

function overIce(t: number): number {
  const polynomial =
    6.392_524_7 + t * (-9.677_843e-3 + t * (6.221_570_1e-7 + t * (2.074_782_5e-9 - t * 9.484_024e-13)));
  return -5.674_535_9e3 / t + polynomial + 4.163_501_9 * Math.log(t);
}

function overWater(t: number): number {
  const polynomial = 1.391_499_3 + t * (-4.864_023_9e-2 + t * (4.176_476_8e-5 - t * 1.445_209_3e-8));
  return -5.800_220_6e3 / t + polynomial + 6.545_967_3 * Math.log(t);
}
