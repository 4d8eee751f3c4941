import { expectWithin } from '../expect-within.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Ratio } from '../units.ts';
import type { RecoveryInputs } from './good-seed-recovery.ts';

/**
 * Which part of what should not be in the seed was taken out.
 *
 *     impurity rejection = 1 - yield * (1 - productPurity) / (1 - feedPurity)
 *
 * Shape    the yield of one window and hand samples of it in, one figure out.
 * Units    1 -> 1
 * Unknown  'inputs-inconsistent' when the feed holds nothing to take out, or more impurity came out than went in.
 * Throws   RangeError when a ratio is outside 0 to 1.
 * Source   conservation of impurities.
 *
 * @example a yield of 8/9 from a feed 92 % pure to a product 98.5 % pure took out 83.333 % of the impurities
 */
export function impurityRejection(inputs: RecoveryInputs): Figure<Ratio> {
  const { feedPurity, productPurity } = inputs;
  const share = { low: 0, high: 1 };
  expectWithin('impurityRejection.yield [1]', inputs.yield, share);
  expectWithin('impurityRejection.feedPurity [1]', feedPurity, share);
  expectWithin('impurityRejection.productPurity [1]', productPurity, share);

  const went = 1 - feedPurity;
  const stayed = inputs.yield * (1 - productPurity);
  return stayed > went || went === 0 ? unknown('inputs-inconsistent') : known(ratio(1 - stayed / went));
}
