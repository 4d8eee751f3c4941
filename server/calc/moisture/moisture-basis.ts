import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import { ratio, type Ratio } from '../units.ts';

/** Below 1: water alone has no dry matter to be a share of. */
const WET_ENDS = { low: 0, high: 0.99 };

/**
 * Water as a share of the dry matter, from water as a share of the whole.
 *
 *     dry basis = wet basis / (1 - wet basis)
 *
 * Shape    one moisture in, one out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when the moisture is outside 0 to 0.99.
 * Source   definition.
 *
 * @example 15 % of the whole is 17.6471 % of the dry matter
 */
export function dryBasis(wetBasisMoisture: Ratio): Ratio {
  expectWithin('dryBasis.wetBasisMoisture [1]', wetBasisMoisture, WET_ENDS);
  return ratio(wetBasisMoisture / (1 - wetBasisMoisture));
}

/**
 * Water as a share of the whole, from water as a share of the dry matter.
 *
 *     wet basis = dry basis / (1 + dry basis)
 *
 * Shape    one moisture in, one out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when the moisture is negative.
 * Source   definition.
 *
 * @example 25 % of the dry matter is 20 % of the whole
 */
export function wetBasis(dryBasisMoisture: Ratio): Ratio {
  expectNotNegative('wetBasis.dryBasisMoisture [1]', dryBasisMoisture);
  return ratio(dryBasisMoisture / (1 + dryBasisMoisture));
}
