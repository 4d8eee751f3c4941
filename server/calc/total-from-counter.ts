import { expectInTimeOrder } from './expect-in-time-order.ts';
import { expectPositive } from './expect-positive.ts';
import { expectWithin } from './expect-within.ts';
import type { Sample } from './covered-integral.ts';
import { sumOf } from './sum-of.ts';
import {
  kilograms,
  milliseconds,
  MS_PER_HOUR,
  type Kilograms,
  type KilogramsPerHour,
  type Milliseconds,
} from './units.ts';

export interface Counter {
  /** Where the counter starts again from zero: one more than its highest reading. */
  readonly rollsOverAt: Kilograms;
  /** No honest flow is faster: it tells a rollover from a reset, and a jump from seed. */
  readonly maxRate: KilogramsPerHour;
  /** What one step of the counter stands for; a step may show a moment early or late. */
  readonly step: Kilograms;
}

export interface CounterTotal {
  readonly total: Kilograms;
  /** Time between readings for which the increase is certain. */
  readonly coveredMs: Milliseconds;
  readonly rollovers: number;
  /** Intervals in which the counter began again, jumped, or may have turned unseen: what passed is not known in full. */
  readonly resets: number;
}

/** What happened between two readings; `amount` is what passed for certain. */
interface Increase {
  readonly kind: 'counted' | 'rolled-over' | 'reset';
  readonly amount: number;
}

/**
 * How much seed passed from the first reading of a counter to the last, through rollovers and resets.
 *
 *     total = sum of increases; a fall that maxRate allows as a turn is a rollover, any other fall a reset
 *
 * Shape    readings in time order in (those without a value are passed over: a counter goes on counting unread);
 *          the total, the time it is certain for, and the number of rollovers and resets out.
 * Units    kg -> kg, ms
 * Unknown  none: an interval with a reset, a jump, or time enough for a whole turn is missing in coveredMs. After a
 *          reset the counter's own reading is counted; what passed before it is not known.
 * Throws   RangeError when readings are out of time order or outside the counter, or a limit is not positive.
 * Source   modular arithmetic.
 *
 * @example 980, 995, 10 kg an hour apart, of a counter that turns at 1000 and gains at most 100 kg/h: 30 kg, 1 rollover
 */
export function totalFromCounter(readings: readonly Sample<Kilograms>[], counter: Counter): CounterTotal {
  expectCounter(counter);
  expectInTimeOrder('totalFromCounter.readings', readings);
  const increases = increasesOf(readings, counter);
  const certain = increases.filter(({ kind }) => kind !== 'reset');
  return {
    total: kilograms(sumOf(increases.map(({ amount }) => amount))),
    coveredMs: milliseconds(sumOf(certain.map(({ lengthMs }) => lengthMs))),
    rollovers: increases.filter(({ kind }) => kind === 'rolled-over').length,
    resets: increases.filter(({ kind }) => kind === 'reset').length,
  };
}

function increasesOf(readings: readonly Sample<Kilograms>[], counter: Counter) {
  const increases: (Increase & { readonly lengthMs: number })[] = [];
  let before: { readonly timeMs: number; readonly value: number } | null = null;
  for (const [index, { timeMs, value }] of readings.entries()) {
    if (value === null) continue;
    expectWithin(`totalFromCounter.readings[${index}] [kg]`, value, {
      low: 0,
      high: counter.rollsOverAt,
    });
    if (before !== null) {
      const lengthMs = timeMs - before.timeMs;
      const mostAllowed = (counter.maxRate * lengthMs) / MS_PER_HOUR + counter.step;
      increases.push({ ...increaseBetween(before.value, value, { ...counter, mostAllowed }), lengthMs });
    }
    before = { timeMs, value };
  }
  return increases;
}

function increaseBetween(
  before: number,
  after: number,
  { rollsOverAt, mostAllowed }: { readonly rollsOverAt: number; readonly mostAllowed: number },
): Increase {
  const mayHaveTurnedUnseen = mostAllowed >= rollsOverAt;
  const gained = after >= before ? after - before : after - before + rollsOverAt;
  const isHonest = gained <= mostAllowed && !mayHaveTurnedUnseen;
  if (isHonest) return { kind: after >= before ? 'counted' : 'rolled-over', amount: gained };
  const beganAgain = after < before && after <= mostAllowed && !mayHaveTurnedUnseen;
  return { kind: 'reset', amount: beganAgain ? after : 0 };
}

function expectCounter(counter: Counter): void {
  expectPositive('totalFromCounter.rollsOverAt [kg]', counter.rollsOverAt);
  expectPositive('totalFromCounter.maxRate [kg/h]', counter.maxRate);
  expectPositive('totalFromCounter.step [kg]', counter.step);
}
