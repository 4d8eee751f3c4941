import { expectPositive } from '../expect-positive.ts';
import { expectProbability } from './expect-probability.ts';
import { regularizedBeta } from './regularized-beta.ts';
import { rootOfFalling } from './root-of-falling.ts';

/** Beyond it the quantiles of half a degree of freedom, the fewest that is of any use, do not go for usual levels. */
const FARTHEST = 1e8;

/**
 * The point below which a value of Student's distribution lies with a given probability: how many standard errors an
 * interval must reach out when the spread itself is only estimated.
 *
 *     probability above t = part(freedom / 2, 1 / 2, freedom / (freedom + t^2)) / 2
 *
 * Shape    a probability and degrees of freedom, which need not be whole, in; one point out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError unless the probability lies between 0 and 1 and the freedom is positive.
 * Source   definition, by bisection of the incomplete beta function (DLMF 8.17).
 *
 * @example 97.5 % lie below 2.228 with 10 degrees of freedom
 */
export function studentQuantile(probability: number, freedom: number): number {
  expectProbability('studentQuantile.probability [1]', probability);
  expectPositive('studentQuantile.freedom [1]', freedom);
  if (probability === 0.5) return 0;
  const tail = Math.min(probability, 1 - probability);
  const above = (t: number) =>
    regularizedBeta({ a: freedom / 2, b: 0.5 }, freedom / (freedom + t * t)) / 2 - tail;
  const distance = rootOfFalling(above, { low: 0, high: FARTHEST });
  return probability > 0.5 ? distance : -distance;
}
