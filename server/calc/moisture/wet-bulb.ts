import { expectNotNegative } from '../expect-not-negative.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { rootOfFalling } from '../statistics/root-of-falling.ts';
import { celsius, ratio, type Celsius, type Pascals, type Ratio } from '../units.ts';
import { saturationRatio, type MoistAir } from './moist-air.ts';

/**
 * How much water the air holds, from a dry and a wet thermometer.
 *
 *     above 0 degC  w = ((2501 - 2.326 wet) saturated - 1.006 (dry - wet)) / (2501 + 1.86 dry - 4.186 wet)
 *     below 0 degC  w = ((2830 - 0.24 wet) saturated - 1.006 (dry - wet)) / (2830 + 1.86 dry - 2.1 wet)
 *
 * Shape    one instant in, one figure out; `saturated` is what air holds at the wet bulb's temperature.
 * Units    degC, degC, Pa -> kg/kg
 * Unknown  'inputs-inconsistent' when the wet bulb is warmer than the dry one, or so cold that the air held less than
 *          nothing.
 * Throws   RangeError when a temperature is outside -100 to 200 degC or the pressure below that of the vapour.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 33 and 35.
 *
 * @example 40 degC dry and 20 degC wet at 101325 Pa: 0.0065 kg/kg
 */
export function humidityRatioFromWetBulb(reading: {
  readonly temperature: Celsius;
  readonly wetBulb: Celsius;
  readonly pressure: Pascals;
}): Figure<Ratio> {
  const { temperature, wetBulb, pressure } = reading;
  if (wetBulb > temperature) return unknown('inputs-inconsistent');
  const humidityRatio = ratioAtWetBulb(temperature, wetBulb, saturationRatio(wetBulb, pressure));
  return humidityRatio < 0 ? unknown('inputs-inconsistent') : known(ratio(humidityRatio));
}

/**
 * What a wet thermometer would show: as cold as water can make the air by evaporating into it.
 *
 *     the temperature at which `humidityRatioFromWetBulb` gives the air's own humidity ratio
 *
 * Shape    one state of air in, one temperature out. Where it lies within half a degree of freezing, ice and water on
 *          the wick each have one that fits, and either may be given.
 * Units    degC, kg/kg, Pa -> degC
 * Unknown  none
 * Throws   RangeError when the humidity ratio is negative or a temperature is outside -100 to 200 degC.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 33 and 35, by bisection.
 *
 * @example 25 degC and 50 % at 101325 Pa: 17.889 degC
 */
export function wetBulbTemperature({ temperature, humidityRatio, pressure }: MoistAir): Celsius {
  expectNotNegative('wetBulbTemperature.humidityRatio [kg/kg]', humidityRatio);
  const stillTooDry = (wetBulb: number) =>
    humidityRatio - ratioAtWetBulb(temperature, wetBulb, saturationRatio(celsius(wetBulb), pressure));
  return celsius(rootOfFalling(stillTooDry, { low: -100, high: temperature }));
}

function ratioAtWetBulb(dry: number, wet: number, saturated: number): number {
  const cooling = 1.006 * (dry - wet);
  return wet >= 0
    ? ((2501 - 2.326 * wet) * saturated - cooling) / (2501 + 1.86 * dry - 4.186 * wet)
    : ((2830 - 0.24 * wet) * saturated - cooling) / (2830 + 1.86 * dry - 2.1 * wet);
}
