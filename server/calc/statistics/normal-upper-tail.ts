import { expectFinite } from '../expect-finite.ts';
import { regularizedGamma } from './regularized-gamma.ts';

/**
 * How likely a standard normal value lies above a point.
 *
 *     upper tail = upper part of the gamma function of shape 1/2 at z^2 / 2, halved
 *
 * Shape    one point in, one probability out; it keeps its digits far out, where 1 - p would have lost them.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when the point is not finite.
 * Source   NIST Digital Library of Mathematical Functions 7.11.2.
 *
 * @example above 1.96 lie 2.5 %
 */
export function normalUpperTail(z: number): number {
  expectFinite('normalUpperTail.z [1]', z);
  const { upper } = regularizedGamma(0.5, (z * z) / 2);
  return z >= 0 ? upper / 2 : 1 - upper / 2;
}
