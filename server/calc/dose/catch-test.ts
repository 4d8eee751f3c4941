import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { figureInputError } from '../figure-input-error.ts';
import { coefficientOfVariation } from '../statistics/coefficient-of-variation.ts';
import type { Figure } from '../figure.ts';
import { sumOf } from '../sum-of.ts';
import {
  millilitresPerMinute,
  MS_PER_MINUTE,
  type Millilitres,
  type MillilitresPerMinute,
  type Milliseconds,
  type Ratio,
} from '../units.ts';

export interface CatchTest {
  readonly catches: readonly Millilitres[];
  /** How long each catch ran; the same for all. */
  readonly duration: Milliseconds;
}

export interface CatchResult {
  readonly flow: MillilitresPerMinute;
  /** How much the catches differ among themselves. */
  readonly variation: Figure<Ratio>;
}

/** Fewer catches say nothing about how much they differ. */
const CATCHES_MIN = 3;

/**
 * What a pump delivers, from liquid caught by hand.
 *
 *     flow = mean(catches) / duration;  variation = standard deviation / mean, with n - 1
 *
 * Shape    at least three catches of one duration in; flow and variation out.
 * Units    mL, ms -> mL/min, 1
 * Unknown  variation: 'line-stopped' when all catches are empty.
 * Throws   RangeError when there are fewer than three catches, one is negative, or the duration is not positive.
 * Source   definition.
 *
 * @example 101.2, 98.7, 100.4, 99.1 and 100.6 mL in a minute each: 100.0 mL/min, variation 1.0559 %
 */
export function catchTest({ catches, duration }: CatchTest): CatchResult {
  if (catches.length < CATCHES_MIN) {
    throw figureInputError('catchTest.catches count [1]', catches.length, `>= ${CATCHES_MIN}`);
  }
  for (const [index, volume] of catches.entries())
    expectNotNegative(`catchTest.catches[${index}] [mL]`, volume);
  expectPositive('catchTest.duration [ms]', duration);

  const mean = sumOf(catches) / catches.length;
  return {
    flow: millilitresPerMinute((mean / duration) * MS_PER_MINUTE),
    variation: coefficientOfVariation(catches),
  };
}
