import { solverOf } from '../calc/matrix.ts';
import { medianOf } from '../calc/statistics/median-of.ts';

export interface RobustFit {
  /** One for each column. */
  readonly coefficients: readonly number[];
  /** What the standard deviation about the fit would be, were the rest normal; 0 when more than half lie on it. */
  readonly deviation: number;
}

const ROUNDS = 12;
/** Values beyond these many deviations are held back (Huber), and in the end left out (Tukey's biweight). */
const HUBER = 1.345;
const BIWEIGHT = 4.685;
const NORMAL_PER_MEDIAN_DISTANCE = 1.482_602_218_505_602;
/** Columns that say the same as others share the effect, instead of tearing it apart. */
const RIDGE = 1e-6;

/**
 * What explains a value best, whatever a few of the rows do.
 *
 *     minimise sum of weight * (y - row . coefficients)^2, weights anew from the residuals of each round:
 *     Huber's first, then the biweight (1 - (r / 4.685 s)^2)^2, s = 1.4826 * median |r|
 *
 * Shape    rows of equal length (of about unit size, a column of ones among them) and as many values in, one fit out.
 * Units    any
 * Unknown  none
 * Throws   RangeError when there is no row.
 * Source   iteratively reweighted least squares: Holland & Welsch, Commun. Statist. A6 (1977) 813; tuning constants for
 *          95 % efficiency at normal values, from memory.
 *
 * @example rows [1, x] for x = 0 to 9, y = 1 + 2 x but once 100: coefficients 1 and 2
 */
export function robustFit(rows: readonly (readonly number[])[], y: readonly number[]): RobustFit {
  let weights = new Float64Array(y.length).fill(1);
  let fit: RobustFit = { coefficients: [], deviation: 0 };
  for (let round = 0; round < ROUNDS; round += 1) {
    const coefficients = weightedFit(rows, y, weights);
    const distances = y.map((value, i) => Math.abs(value - product(rows[i] ?? [], coefficients)));
    const deviation = NORMAL_PER_MEDIAN_DISTANCE * medianOf(distances);
    fit = { coefficients, deviation };
    if (deviation === 0) return fit;
    const isLate = round >= ROUNDS / 3;
    weights = Float64Array.from(distances, (distance) => weightOf(distance / deviation, isLate));
  }
  return fit;
}

export function product(row: readonly number[], coefficients: readonly number[]): number {
  let sum = 0;
  for (let i = 0; i < row.length; i += 1) sum += (row[i] ?? 0) * (coefficients[i] ?? 0);
  return sum;
}

function weightOf(distance: number, isLate: boolean): number {
  if (!isLate) return distance <= HUBER ? 1 : HUBER / distance;
  return distance >= BIWEIGHT ? 0 : (1 - (distance / BIWEIGHT) ** 2) ** 2;
}

function weightedFit(
  rows: readonly (readonly number[])[],
  y: readonly number[],
  weights: Float64Array,
): readonly number[] {
  const size = rows[0]?.length ?? 0;
  const square = Array.from({ length: size }, () => new Array<number>(size).fill(0));
  const right = new Array<number>(size).fill(0);
  for (const [i, row] of rows.entries()) {
    const weight = weights[i] ?? 0;
    if (weight > 0) addRow({ square, right }, row, { weight, y: y[i] ?? 0 });
  }
  for (const [i, line] of square.entries()) line[i] = (line[i] ?? 0) + RIDGE * (rows.length + 1);
  return solverOf('robustFit.rows', square)(right);
}

function addRow(
  sums: { readonly square: number[][]; readonly right: number[] },
  row: readonly number[],
  { weight, y }: { readonly weight: number; readonly y: number },
): void {
  for (let i = 0; i < row.length; i += 1) {
    const line = sums.square[i];
    const weighted = weight * (row[i] ?? 0);
    if (line === undefined || weighted === 0) continue;
    for (let j = 0; j < row.length; j += 1) line[j] = (line[j] ?? 0) + weighted * (row[j] ?? 0);
    sums.right[i] = (sums.right[i] ?? 0) + weighted * y;
  }
}
