import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { expectWithin } from './expect-within.ts';
import { kilograms, type GramsPerMillilitre, type Kilograms, type Millilitres, type Ratio } from './units.ts';

export interface AppliedLiquid {
  readonly volume: Millilitres;
  readonly density: GramsPerMillilitre;
  /** The part of the liquid's mass that is still on the seed where it is weighed; 1 before any dryer. */
  readonly retained: Ratio;
}

/**
 * What the treatment liquid adds to the mass of the seed at the next scale.
 *
 *     liquid retained = volume * density * retained / 1000
 *
 * Shape    total of one window in, one mass out.
 * Units    mL, g/mL, 1 -> kg
 * Unknown  none
 * Throws   RangeError when the volume is negative, the density not positive, or the share outside 0 to 1.
 * Source   dimensional identity.
 *
 * @example 50000 mL of 1.1 g/mL, all of it retained, weigh 55 kg
 */
export function liquidRetained({ volume, density, retained }: AppliedLiquid): Kilograms {
  expectNotNegative('liquidRetained.volume [mL]', volume);
  expectPositive('liquidRetained.density [g/mL]', density);
  expectWithin('liquidRetained.retained [1]', retained, { low: 0, high: 1 });
  return kilograms((volume * density * retained) / 1000);
}
