import { expectNotNegative } from '../expect-not-negative.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Ratio } from '../units.ts';

/** How much of the wanted (or of the unwanted) is in three streams: all in one unit, usually a fraction of mass. */
export interface Assays {
  readonly feed: number;
  readonly product: number;
  readonly reject: number;
}

/**
 * Which part of the feed went into the product, from samples alone: no scale needed.
 *
 *     yield = (feed - reject) / (product - reject)
 *
 * Shape    assays of feed, product and reject of one machine or line in, one figure out.
 * Units    any one unit for all three -> 1
 * Unknown  'inputs-inconsistent' when product and reject do not differ, or the feed does not lie between them.
 * Throws   RangeError when an assay is negative.
 * Source   two-product formula: conservation of mass and of the wanted part. The closer product and reject lie
 *          together, the more an error of the feed's assay is magnified: by 1 / (product - reject).
 *
 * @example feed 1.0, product 10.0 and reject 0.2 give a yield of 0.08163
 */
export function twoProductYield({ feed, product, reject }: Assays): Figure<Ratio> {
  expectNotNegative('twoProductYield.feed', feed);
  expectNotNegative('twoProductYield.product', product);
  expectNotNegative('twoProductYield.reject', reject);

  const isBetween = feed >= Math.min(product, reject) && feed <= Math.max(product, reject);
  if (product === reject || !isBetween) return unknown('inputs-inconsistent');
  return known(ratio((feed - reject) / (product - reject)));
}
