import { expectPositive } from '../expect-positive.ts';
import { expectProbability } from './expect-probability.ts';
import { regularizedGamma } from './regularized-gamma.ts';
import { rootOfFalling } from './root-of-falling.ts';

/**
 * The point below which a chi-square value lies with a given probability.
 *
 *     probability that the sum of `degreesOfFreedom` squared standard normal values is below it = probability
 *
 * Shape    one probability and the degrees of freedom in, one point out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError unless the probability lies between 0 and 1 and the degrees of freedom are positive.
 * Source   definition, by bisection of the upper part of the gamma function of shape degreesOfFreedom / 2.
 *
 * @example 95 % of the values with 4 degrees of freedom lie below 9.4877
 */
export function chiSquareQuantile(probability: number, degreesOfFreedom: number): number {
  expectProbability('chiSquareQuantile.probability [1]', probability);
  expectPositive('chiSquareQuantile.degreesOfFreedom [1]', degreesOfFreedom);
  const tooMuchAbove = (x: number) => regularizedGamma(degreesOfFreedom / 2, x / 2).upper - (1 - probability);
  let high = 2 * degreesOfFreedom;
  while (tooMuchAbove(high) > 0) high *= 2;
  return rootOfFalling(tooMuchAbove, { low: 0, high });
}
