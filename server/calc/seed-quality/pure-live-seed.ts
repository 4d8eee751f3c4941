import { expectWithin } from '../expect-within.ts';
import { ratio, type Ratio } from '../units.ts';

/**
 * Which part of the lot will become a plant.
 *
 *     pure live seed = purity * germination
 *
 * Shape    two results of one sample in, one ratio out. Whether hard and dormant seed counts as germinating is for the
 *          law that applies to say: the caller adds it, or does not.
 * Units    1, 1 -> 1
 * Unknown  none
 * Throws   RangeError when a ratio is outside 0 to 1.
 * Source   definition.
 *
 * @example purity 98 % and germination 92 % are 90.16 % pure live seed
 */
export function pureLiveSeed(sample: { readonly purity: Ratio; readonly germination: Ratio }): Ratio {
  expectWithin('pureLiveSeed.purity [1]', sample.purity, { low: 0, high: 1 });
  expectWithin('pureLiveSeed.germination [1]', sample.germination, { low: 0, high: 1 });
  return ratio(sample.purity * sample.germination);
}
