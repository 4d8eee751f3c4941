import { expectProbability } from './expect-probability.ts';
import { normalUpperTail } from './normal-upper-tail.ts';
import { rootOfFalling } from './root-of-falling.ts';

/** No double has a smaller upper tail. */
const FARTHEST = 40;

/**
 * The point below which a standard normal value lies with a given probability.
 *
 *     probability that a value is below the quantile = probability
 *
 * Shape    one probability in, one point out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError unless the probability lies between 0 and 1.
 * Source   definition, by bisection of `normalUpperTail`.
 *
 * @example 97.5 % lie below 1.959964
 */
export function normalQuantile(probability: number): number {
  expectProbability('normalQuantile.probability [1]', probability);
  // 0.5 is both halves' edge; the tail is the smaller part, because that is the one with all its digits.
  const tail = Math.min(probability, 1 - probability);
  const distance = rootOfFalling((z) => normalUpperTail(z) - tail, { low: 0, high: FARTHEST });
  if (probability === 0.5) return 0;
  return probability > 0.5 ? distance : -distance;
}
