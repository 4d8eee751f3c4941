import { expectWithin } from '../expect-within.ts';
import { ratio, type Ratio } from '../units.ts';

export interface SeriesYield {
  readonly yield: Ratio;
  /** What each machine takes, as a share of the feed of the first; in the order given. */
  readonly rejectShares: readonly Ratio[];
}

/**
 * What machines in a row leave, and what each takes out of the line's feed.
 *
 *     yield = product of (1 - rejectRatio_m)
 *     rejectShare_m = rejectRatio_m * product over the machines before m of (1 - rejectRatio)
 *
 * Shape    the reject ratios of the machines in the order the seed passes them in; yield and shares out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when a ratio is outside 0 to 1.
 * Source   proportion.
 *
 * @example machines that take 0.1 and 0.2 of what they receive leave 0.72; the second takes 0.18 of the feed
 */
export function seriesYield(rejectRatios: readonly Ratio[]): SeriesYield {
  let left = 1;
  const rejectShares: Ratio[] = [];
  for (const [index, rejectRatio] of rejectRatios.entries()) {
    expectWithin(`seriesYield.rejectRatios[${index}] [1]`, rejectRatio, { low: 0, high: 1 });
    rejectShares.push(ratio(rejectRatio * left));
    left *= 1 - rejectRatio;
  }
  return { yield: ratio(left), rejectShares };
}
