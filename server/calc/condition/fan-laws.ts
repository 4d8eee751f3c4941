import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { ratio, type Ratio } from '../units.ts';

/** A fan's present state as a multiple of its state at the reference. */
export interface FanState {
  readonly flow: Ratio;
  readonly pressure: Ratio;
  readonly power: Ratio;
}

/**
 * What a fan does at another speed and in other air, as multiples of what it did at the reference.
 *
 *     flow ~ speed;  pressure ~ density * speed^2;  power ~ density * speed^3
 *
 * Shape    speed and density over those of the reference in, three multiples out. They hold while the ducts stay as they
 *          are: a deviation from them at known speed says that a filter has loaded or a damper moved.
 * Units    1, 1 -> 1
 * Unknown  none
 * Throws   RangeError when the speed is negative or the density not positive.
 * Source   fan laws (similarity), same fan.
 *
 * @example 10 % more speed: 10 % more flow, 21 % more pressure, 33.1 % more power
 */
export function fanLaws(over: { readonly speed: Ratio; readonly density: Ratio }): FanState {
  expectNotNegative('fanLaws.speed [1]', over.speed);
  expectPositive('fanLaws.density [1]', over.density);
  return {
    flow: over.speed,
    pressure: ratio(over.density * over.speed ** 2),
    power: ratio(over.density * over.speed ** 3),
  };
}
