import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Ratio } from '../units.ts';

export interface RecoveryInputs {
  readonly yield: Ratio;
  /** Fraction of pure good seed in the feed and in the product. */
  readonly feedPurity: Ratio;
  readonly productPurity: Ratio;
}

/**
 * Which part of the good seed that went in is in the product. What is missing from 1 was lost in the rejects.
 *
 *     recovery = yield * productPurity / feedPurity
 *
 * Shape    the yield of one window and hand samples of it in, one figure out.
 * Units    1 -> 1
 * Unknown  'inputs-inconsistent' when more good seed came out than went in.
 * Throws   RangeError when a ratio is outside 0 to 1, or the feed holds no good seed.
 * Source   conservation of good seed.
 *
 * @example a yield of 8/9 from a feed 92 % pure to a product 98.5 % pure recovers 95.169 % of the good seed
 */
export function goodSeedRecovery(inputs: RecoveryInputs): Figure<Ratio> {
  const { feedPurity, productPurity } = inputs;
  const share = { low: 0, high: 1 };
  expectWithin('goodSeedRecovery.yield [1]', inputs.yield, share);
  expectWithin('goodSeedRecovery.feedPurity [1]', feedPurity, share);
  expectPositive('goodSeedRecovery.feedPurity [1]', feedPurity);
  expectWithin('goodSeedRecovery.productPurity [1]', productPurity, share);

  const recovery = (inputs.yield * productPurity) / feedPurity;
  return recovery > 1 ? unknown('inputs-inconsistent') : known(ratio(recovery));
}
