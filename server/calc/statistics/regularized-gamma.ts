import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';

export interface GammaParts {
  readonly lower: number;
  /** 1 - lower, but with all its digits where it is tiny. */
  readonly upper: number;
}

/** Enough terms for every shape up to some thousands; both expansions stop by themselves long before. */
const TERMS_MAX = 10_000;
const SMALLEST_STEP = 1e-16;
/** Keeps a denominator of the continued fraction off zero. */
const TINY = 1e-300;

/**
 * Which part of the gamma function's integral lies below a point, and which above: the root of the normal and the
 * chi-square distribution.
 *
 *     lower = integral from 0 to x of t^(shape - 1) * e^(-t) dt / gamma(shape)
 *
 * Shape    one shape and one point in, two parts of 1 out.
 * Units    1 -> 1
 * Unknown  none
 * Throws   RangeError when the shape is not positive or the point negative.
 * Source   NIST Digital Library of Mathematical Functions: series 8.7.1 below, continued fraction 8.9.2 above
 *          shape + 1 (evaluated by Lentz's method, DLMF 3.10).
 *
 * @example shape 1 at 2: above it lies e^-2 = 0.1353
 */
export function regularizedGamma(shape: number, x: number): GammaParts {
  expectPositive('regularizedGamma.shape [1]', shape);
  expectNotNegative('regularizedGamma.x [1]', x);
  if (x === 0) return { lower: 0, upper: 1 };

  const front = Math.exp(shape * Math.log(x) - x - logGamma(shape));
  if (x < shape + 1) {
    const lower = front * lowerSeries(shape, x);
    return { lower, upper: 1 - lower };
  }
  const upper = front * upperFraction(shape, x);
  return { lower: 1 - upper, upper };
}

function lowerSeries(shape: number, x: number): number {
  let term = 1 / shape;
  let sum = term;
  for (let n = 1; n < TERMS_MAX && term > sum * SMALLEST_STEP; n += 1) {
    term *= x / (shape + n);
    sum += term;
  }
  return sum;
}

function upperFraction(shape: number, x: number): number {
  let b = x + 1 - shape;
  let c = 1 / TINY;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < TERMS_MAX; n += 1) {
    const a = n * (shape - n);
    b += 2;
    d = 1 / awayFromZero(a * d + b);
    c = awayFromZero(b + a / c);
    const step = c * d;
    fraction *= step;
    if (Math.abs(step - 1) < SMALLEST_STEP) break;
  }
  return fraction;
}

function awayFromZero(value: number): number {
  return Math.abs(value) < TINY ? TINY : value;
}

/** Stirling's series (DLMF 5.11.1), after the argument is raised to where five terms give every digit. */
export function logGamma(z: number): number {
  let raised = z;
  let shift = 0;
  while (raised < 12) {
    shift += Math.log(raised);
    raised += 1;
  }
  const inverse = 1 / raised;
  const square = inverse * inverse;
  const series =
    inverse * (1 / 12 - square * (1 / 360 - square * (1 / 1260 - square * (1 / 1680 - square / 1188))));
  return (raised - 0.5) * Math.log(raised) - raised + 0.5 * Math.log(2 * Math.PI) + series - shift;
}
