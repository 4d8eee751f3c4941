import { figureInputError } from './figure-input-error.ts';

/** Rows of equal length. Flow networks are small: plainness comes before speed here. */
export type Vector = readonly number[];
export type Matrix = readonly Vector[];

export function dot(a: Vector, b: Vector): number {
  return a.reduce((sum, value, index) => sum + value * at(b, index), 0);
}

/** The element, which the caller knows to be there. */
export function at(vector: Vector, index: number): number {
  return vector[index] ?? 0;
}

export function timesVector(a: Matrix, vector: Vector): Vector {
  return a.map((row) => dot(row, vector));
}

export function transpose(a: Matrix): Matrix {
  return (a[0] ?? []).map((_, column) => a.map((row) => at(row, column)));
}

export function times(a: Matrix, b: Matrix): Matrix {
  const columns = transpose(b);
  return a.map((row) => columns.map((column) => dot(row, column)));
}

export function minus(a: Vector, b: Vector): Vector {
  return a.map((value, index) => value - at(b, index));
}

/**
 * Solves a * x = b for a symmetric, positive definite matrix, as often as wanted.
 *
 *     a = lower * transpose(lower);  lower * y = b;  transpose(lower) * x = y
 *
 * Shape    one matrix in, a function from right side to solution out.
 * Units    any
 * Unknown  none
 * Throws   RangeError when the matrix is not positive definite; the subject says whose matrix it is.
 * Source   Cholesky decomposition.
 *
 * @example of [[4, 2], [2, 3]] and [2, 5] the solution is [-0.5, 2]
 */
export function solverOf(subject: string, a: Matrix): (b: Vector) => Vector {
  const lower = choleskyOf(subject, a);
  const upper = transpose(lower);
  return (b) => backward(upper, forward(lower, b));
}

function choleskyOf(subject: string, a: Matrix): Matrix {
  const lower: number[][] = [];
  for (const [i, source] of a.entries()) {
    const row: number[] = [];
    for (const [j, above] of lower.entries()) row.push((at(source, j) - dot(row, above)) / at(above, j));
    const square = at(source, i) - dot(row, row);
    // A square this small beside the diagonal is what rounding leaves of zero.
    const isPositive = square > at(source, i) * 1e-12;
    if (!isPositive) {
      throw figureInputError(subject, 'a matrix that is not positive definite', 'a positive definite matrix');
    }
    lower.push([...row, Math.sqrt(square)]);
  }
  return lower.map((row) => [...row, ...new Array<number>(a.length - row.length).fill(0)]);
}

function forward(lower: Matrix, b: Vector): Vector {
  const y: number[] = [];
  for (const [i, row] of lower.entries()) y.push((at(b, i) - dot(y, row)) / at(row, i));
  return y;
}

function backward(upper: Matrix, y: Vector): Vector {
  const x = new Array<number>(upper.length).fill(0);
  for (let i = upper.length - 1; i >= 0; i -= 1) {
    const row = upper[i] ?? [];
    // The part of x not yet found is zero, so the product takes only what is known.
    x[i] = (at(y, i) - dot(row, x)) / at(row, i);
  }
  return x;
}
