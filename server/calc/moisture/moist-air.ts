import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { ratio, type Celsius, type Pascals, type Ratio } from '../units.ts';
import { saturationPressure } from './saturation-pressure.ts';

/** Air with water in it, fully described. */
export interface MoistAir {
  readonly temperature: Celsius;
  /** kg water vapour a kg dry air. */
  readonly humidityRatio: Ratio;
  readonly pressure: Pascals;
}

/** Molar mass of water over that of dry air. */
const WATER_PER_AIR = 0.621_945;

/**
 * Air, from what a humidity sensor tells.
 *
 *     vapour pressure = relativeHumidity * saturation pressure
 *     humidity ratio = 0.621945 * vapour pressure / (pressure - vapour pressure)
 *
 * Shape    one instant in, one state of air out.
 * Units    degC, 1, Pa -> degC, kg/kg, Pa
 * Unknown  none
 * Throws   RangeError when the humidity is outside 0 to 1, the pressure not above that of the vapour, or the
 *          temperature outside -100 to 200 degC.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 20.
 *
 * @example 25 degC and 50 % at 101325 Pa hold 0.009881 kg/kg
 */
export function airOfHumidity(reading: {
  readonly temperature: Celsius;
  readonly relativeHumidity: Ratio;
  readonly pressure: Pascals;
}): MoistAir {
  const { temperature, relativeHumidity, pressure } = reading;
  expectWithin('airOfHumidity.relativeHumidity [1]', relativeHumidity, { low: 0, high: 1 });
  const vapour = relativeHumidity * saturationPressure(temperature);
  expectPositive('airOfHumidity.pressure less vapour pressure [Pa]', pressure - vapour);
  return { temperature, humidityRatio: ratio((WATER_PER_AIR * vapour) / (pressure - vapour)), pressure };
}

/**
 * How near the air is to saturation.
 *
 *     relative humidity = vapour pressure / saturation pressure
 *     vapour pressure = pressure * humidityRatio / (0.621945 + humidityRatio)
 *
 * Shape    one state of air in, one ratio out; above 1 there is fog.
 * Units    degC, kg/kg, Pa -> 1
 * Unknown  none
 * Throws   RangeError when the humidity ratio is negative or the temperature outside -100 to 200 degC.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 12 and 36.
 *
 * @example 0.009881 kg/kg at 25 degC and 101325 Pa is 50 %
 */
export function relativeHumidity(air: MoistAir): Ratio {
  return ratio(vapourPressure(air) / saturationPressure(air.temperature));
}

/** The part of the pressure that the water vapour makes. */
export function vapourPressure({ humidityRatio, pressure }: MoistAir): number {
  expectNotNegative('vapourPressure.humidityRatio [kg/kg]', humidityRatio);
  return (pressure * humidityRatio) / (WATER_PER_AIR + humidityRatio);
}

/** What air holds when it can hold no more. */
export function saturationRatio(temperature: Celsius, pressure: Pascals): number {
  return airOfHumidity({ temperature, relativeHumidity: ratio(1), pressure }).humidityRatio;
}
