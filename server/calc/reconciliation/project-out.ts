import { figureInputError } from '../figure-input-error.ts';
import { at, type Matrix, type Vector } from '../matrix.ts';

export interface Projection {
  /** Balances in which no unmeasured flow is left, over all columns. */
  readonly balances: Matrix;
  /** For each unmeasured flow that the balances determine: its coefficients on the measured ones. */
  readonly computed: ReadonlyMap<number, Vector>;
}

/** What rounding leaves of zero, beside coefficients of the order of 1. */
const ZERO = 1e-9;

/**
 * Balances without the flows that nobody measures, and what can still be said of those flows.
 *
 *     eliminate each unmeasured column with one balance (Gauss-Jordan): that balance then computes the flow,
 *     the others no longer hold it
 *
 * Shape    balances (a row each; +1 into a machine, -1 out of it) and the unmeasured columns in; the balances that are
 *          left and the computed flows out. Eliminating a stream between two machines makes one balance around both.
 * Units    1 -> 1
 * Unknown  an unmeasured flow that is missing in `computed` is one of several that only have a sum.
 * Throws   RangeError when a balance follows from the others.
 * Source   projection of unmeasured variables, Narasimhan & Jordache, Data Reconciliation (2000), ch. 3.
 *
 * @example a - u = 0 and u - b = 0 with u unmeasured leave a - b = 0, and u is computed as b
 */
export function projectOut(balances: Matrix, unmeasured: readonly number[]): Projection {
  let rows: readonly Vector[] = balances;
  const pivots: { readonly column: number; readonly row: Vector }[] = [];
  for (const column of unmeasured) {
    const pivot = largestIn(rows, column);
    if (pivot === null) continue;
    const row = scaled(pivot, 1 / at(pivot, column));
    rows = rows.filter((other) => other !== pivot).map((other) => cleared(other, row, column));
    for (const [index, done] of pivots.entries()) {
      pivots[index] = { column: done.column, row: cleared(done.row, row, column) };
    }
    pivots.push({ column, row });
  }
  expectIndependent(rows);
  return { balances: rows, computed: computedFrom(pivots, unmeasured) };
}

function largestIn(rows: readonly Vector[], column: number): Vector | null {
  const [first] = rows.toSorted((a, b) => Math.abs(at(b, column)) - Math.abs(at(a, column)));
  return first !== undefined && Math.abs(at(first, column)) > ZERO ? first : null;
}

function scaled(row: Vector, factor: number): Vector {
  return row.map((value) => value * factor);
}

/** The row less as much of the pivot's row as takes the column out of it; what rounding leaves of zero becomes zero. */
function cleared(row: Vector, pivot: Vector, column: number): Vector {
  const factor = at(row, column);
  return row.map((value, index) => {
    const left = value - factor * at(pivot, index);
    return index === column || Math.abs(left) <= ZERO ? 0 : left;
  });
}

function computedFrom(
  pivots: readonly { readonly column: number; readonly row: Vector }[],
  unmeasured: readonly number[],
): ReadonlyMap<number, Vector> {
  const determined = pivots.filter(({ column, row }) =>
    unmeasured.every((other) => other === column || Math.abs(at(row, other)) <= ZERO),
  );
  return new Map(
    determined.map(({ column, row }) => [column, row.map((value, index) => (index === column ? 0 : -value))]),
  );
}

function expectIndependent(rows: readonly Vector[]): void {
  let left: readonly Vector[] = rows;
  while (left.length > 0) {
    const [next = [], ...others] = left;
    const size = Math.max(...next.map(Math.abs));
    if (!(size > ZERO)) {
      throw figureInputError(
        'projectOut.balances',
        'a balance that follows from the others',
        'independent balances',
      );
    }
    const column = next.findIndex((value) => Math.abs(value) === size);
    const row = scaled(next, 1 / at(next, column));
    left = others.map((other) => cleared(other, row, column));
  }
}
