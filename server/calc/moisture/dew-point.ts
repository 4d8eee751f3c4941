import { known, unknown, type Figure } from '../figure.ts';
import { rootOfFalling } from '../statistics/root-of-falling.ts';
import { celsius, type Celsius } from '../units.ts';
import { vapourPressure, type MoistAir } from './moist-air.ts';
import { saturationPressure } from './saturation-pressure.ts';

/** Air drier than saturated air at this temperature has no dew point worth the name. */
const COLDEST_C = -100;

/**
 * The temperature at which water begins to settle out of the air: on a cold bin wall, for instance.
 *
 *     the temperature at which the saturation pressure is the air's vapour pressure
 *
 * Shape    one state of air in, one figure out.
 * Units    degC, kg/kg, Pa -> degC
 * Unknown  'inputs-inconsistent' when the air is as good as dry, or holds more than it can at its temperature.
 * Throws   RangeError when the humidity ratio is negative or the temperature outside -100 to 200 degC.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 5 and 6, by bisection.
 *
 * @example 25 degC and 50 % at 101325 Pa: 13.864 degC
 */
export function dewPoint(air: MoistAir): Figure<Celsius> {
  const vapour = vapourPressure(air);
  // Air that is just saturated may seem a little more so, by rounding.
  const isFog = vapour > saturationPressure(air.temperature) * (1 + 1e-9);
  if (isFog || vapour < saturationPressure(celsius(COLDEST_C))) return unknown('inputs-inconsistent');
  const stillTooCold = (temperature: number) => vapour - saturationPressure(celsius(temperature));
  return known(celsius(rootOfFalling(stillTooCold, { low: COLDEST_C, high: air.temperature })));
}
