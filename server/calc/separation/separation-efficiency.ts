import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Ratio } from '../units.ts';

export interface SeparationInputs {
  readonly yield: Ratio;
  /** Fraction of the wanted part in the feed and in the product. */
  readonly feedAssay: Ratio;
  readonly productAssay: Ratio;
  /** The highest fraction the wanted part can reach: 1 for pure seed; less where an assay is of a compound's element. */
  readonly highestAssay: Ratio;
}

/**
 * How well a separation did: 1 parts everything, 0 only splits.
 *
 *     efficiency = recovery of the wanted - part of the unwanted that stayed
 *                = yield * highest * (product - feed) / ((highest - feed) * feed)
 *
 * Shape    the yield of one window and hand samples of it in, one figure out.
 * Units    1 -> 1
 * Unknown  'inputs-inconsistent' when the feed holds all or nothing of the wanted part.
 * Throws   RangeError when a ratio is outside 0 to 1, or an assay is above the highest.
 * Source   Schulz, Trans. SME-AIME 247 (1970) 81; also known as Newton's efficiency.
 *
 * @example a yield of 8/9 from a feed 92 % pure to a product 98.5 % pure has an efficiency of 0.78502
 */
export function separationEfficiency(inputs: SeparationInputs): Figure<Ratio> {
  const { feedAssay, productAssay, highestAssay } = inputs;
  expectWithin('separationEfficiency.yield [1]', inputs.yield, { low: 0, high: 1 });
  expectWithin('separationEfficiency.highestAssay [1]', highestAssay, { low: 0, high: 1 });
  expectPositive('separationEfficiency.highestAssay [1]', highestAssay);
  expectWithin('separationEfficiency.feedAssay [1]', feedAssay, { low: 0, high: highestAssay });
  expectWithin('separationEfficiency.productAssay [1]', productAssay, { low: 0, high: highestAssay });

  const unwanted = (highestAssay - feedAssay) * feedAssay;
  if (unwanted === 0) return unknown('inputs-inconsistent');
  return known(ratio((inputs.yield * highestAssay * (productAssay - feedAssay)) / unwanted));
}
