import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { logGamma } from './regularized-gamma.ts';

const TERMS_MAX = 10_000;
const SMALLEST_STEP = 1e-15;
/** Keeps a denominator of the continued fraction off zero. */
const TINY = 1e-300;

/**
 * Which part of the beta function's integral lies below a point: the root of Student's distribution.
 *
 *     part = integral from 0 to x of t^(a - 1) * (1 - t)^(b - 1) dt / beta(a, b)
 *
 * Shape    two shapes and one point from 0 to 1 in, one part of 1 out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when a shape is not positive or the point lies outside 0 to 1.
 * Source   NIST Digital Library of Mathematical Functions 8.17.22, evaluated by Lentz's method (DLMF 3.10); the other
 *          side by 8.17.4.
 *
 * @example shapes 2 and 3 at 0.5: 11/16
 */
export function regularizedBeta(shapes: { readonly a: number; readonly b: number }, x: number): number {
  const { a, b } = shapes;
  expectPositive('regularizedBeta.a [1]', a);
  expectPositive('regularizedBeta.b [1]', b);
  expectWithin('regularizedBeta.x [1]', x, { low: 0, high: 1 });
  if (x === 0 || x === 1) return x;
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  // The fraction converges fast on one side of the mean alone.
  return x < (a + 1) / (a + b + 2)
    ? (front * fraction(a, b, x)) / a
    : 1 - (front * fraction(b, a, 1 - x)) / b;
}

function fraction(a: number, b: number, x: number): number {
  let c = 1;
  let d = 1 / awayFromZero(1 - ((a + b) * x) / (a + 1));
  let value = d;
  for (let m = 1; m < TERMS_MAX; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    for (const term of [even, odd]) {
      d = 1 / awayFromZero(1 + term * d);
      c = awayFromZero(1 + term / c);
      value *= c * d;
    }
    if (Math.abs(c * d - 1) < SMALLEST_STEP) break;
  }
  return value;
}

function awayFromZero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value;
}
