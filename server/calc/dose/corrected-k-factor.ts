import { expectPositive } from '../expect-positive.ts';
import type { Millilitres } from '../units.ts';

/**
 * The K-factor that makes a flow meter read what was caught.
 *
 *     new K-factor = K-factor * indicated / caught
 *
 * Shape    the meter's K-factor (pulses a mL), what it indicated and what was caught in, one K-factor out.
 * Units    1/mL, mL, mL -> 1/mL
 * Unknown  none
 * Throws   RangeError when any of the three is not positive.
 * Source   proportion.
 *
 * @example a meter of 10 pulses a mL that shows 490 mL when 500 mL were caught needs 9.8 pulses a mL
 */
export function correctedKFactor(
  kFactor: number,
  volumes: { readonly indicated: Millilitres; readonly caught: Millilitres },
): number {
  expectPositive('correctedKFactor.kFactor [1/mL]', kFactor);
  expectPositive('correctedKFactor.indicated [mL]', volumes.indicated);
  expectPositive('correctedKFactor.caught [mL]', volumes.caught);
  return (kFactor * volumes.indicated) / volumes.caught;
}
