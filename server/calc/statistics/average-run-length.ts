import { expectFinite } from '../expect-finite.ts';
import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { at, dot, type Matrix, type Vector } from '../matrix.ts';
import { normalUpperTail } from './normal-upper-tail.ts';

/** Cells into which the chart's range is cut; with these the published tables are met within one per cent. */
const CELLS = 81;

/**
 * After how many values, on average, a two-sided CUSUM signals: false alarms without a shift, delay with one.
 *
 *     Markov chain over cells of the sum; 1 / ARL = 1 / ARL of the high side + 1 / ARL of the low side
 *
 * Shape    allowance, decision and shift, all in standard deviations of one value, in; a number of values out.
 * Units    1 -> 1
 * Unknown  none. Independent normal values are assumed; values that lean on each other signal many times sooner.
 * Throws   RangeError when the allowance is negative, the decision not positive or the shift not finite.
 * Source   Brook & Evans, Biometrika 59 (1972) 539.
 *
 * @example allowance 0.5, decision 5: 465 values without a shift, 10.4 with a shift of one standard deviation
 */
export function cusumRunLength(
  chart: { readonly allowance: number; readonly decision: number },
  shift: number,
): number {
  expectNotNegative('cusumRunLength.allowance [1]', chart.allowance);
  expectPositive('cusumRunLength.decision [1]', chart.decision);
  expectFinite('cusumRunLength.shift [1]', shift);
  const oneSide = (shiftUp: number) => {
    const width = (2 * chart.decision) / (2 * CELLS - 1);
    const middles = Array.from({ length: CELLS }, (_, cell) => cell * width);
    // The lowest cell also holds what would be below zero.
    return runLength(middles, (from, to) => {
      const below = (edge: number) => 1 - normalUpperTail(edge - from + chart.allowance - shiftUp);
      return below(to + width / 2) - (to === 0 ? 0 : below(to - width / 2));
    })[0];
  };
  return 1 / (1 / (oneSide(shift) ?? Infinity) + 1 / (oneSide(-shift) ?? Infinity));
}

/**
 * After how many values, on average, an EWMA chart with the limits that it comes to signals.
 *
 *     Markov chain over cells of the average between its limits
 *
 * Shape    weight of a value, width of the limits and shift (in standard deviations of one value) in; a number of
 *          values out.
 * Units    1 -> 1
 * Unknown  none. Independent normal values are assumed.
 * Throws   RangeError when the weight is outside 0.01 to 1, the width not positive or the shift not finite.
 * Source   Lucas & Saccucci, Technometrics 32 (1990) 1.
 *
 * @example weight 0.2, width 2.962: 500 values without a shift, 10.5 with a shift of one standard deviation
 */
export function ewmaRunLength(
  chart: { readonly weight: number; readonly width: number },
  shift: number,
): number {
  expectWithin('ewmaRunLength.weight [1]', chart.weight, { low: 0.01, high: 1 });
  expectPositive('ewmaRunLength.width [1]', chart.width);
  expectFinite('ewmaRunLength.shift [1]', shift);
  const limit = chart.width * Math.sqrt(chart.weight / (2 - chart.weight));
  const width = (2 * limit) / CELLS;
  const middles = Array.from({ length: CELLS }, (_, cell) => -limit + (cell + 0.5) * width);
  const lengths = runLength(middles, (from, to) => {
    const above = (edge: number) =>
      normalUpperTail((edge - (1 - chart.weight) * from) / chart.weight - shift);
    return above(to - width / 2) - above(to + width / 2);
  });
  return lengths[(CELLS - 1) / 2] ?? Infinity;
}

/** The mean number of steps until a chain leaves its cells, from each cell: (I - Q) * length = 1. */
function runLength(
  middles: readonly number[],
  probability: (from: number, to: number) => number,
): readonly number[] {
  const rows = middles.map((from, i) => [
    ...middles.map((to, j) => (i === j ? 1 : 0) - probability(from, to)),
    1,
  ]);
  return backSubstituted(triangular(rows));
}

/** Each row's diagonal outweighs the rest, so the elimination needs no change of rows. */
function triangular(rows: readonly Vector[]): Matrix {
  const done: Vector[] = [];
  for (const row of rows) {
    const cleared = done.reduce((left, top, column) => {
      const factor = at(left, column) / at(top, column);
      return left.map((value, index) => value - factor * at(top, index));
    }, row);
    done.push(cleared);
  }
  return done;
}

function backSubstituted(rows: Matrix): readonly number[] {
  const lengths = new Array<number>(rows.length).fill(0);
  for (const [index, row] of [...rows.entries()].toReversed()) {
    // The part of the lengths not yet found is zero, so the product takes only what is known.
    lengths[index] = (at(row, rows.length) - dot(lengths, row)) / at(row, index);
  }
  return lengths;
}
