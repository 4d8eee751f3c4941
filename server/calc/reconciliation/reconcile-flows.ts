import { expectFinite } from '../expect-finite.ts';
import { figureInputError } from '../figure-input-error.ts';
import {
  at,
  dot,
  minus,
  solverOf,
  times,
  timesVector,
  transpose,
  type Matrix,
  type Vector,
} from '../matrix.ts';
import { projectOut } from './project-out.ts';

export interface FlowMeasurements {
  /** One row a balance, one column a flow: +1 into a machine, -1 out of it. */
  readonly balances: Matrix;
  /** One a flow; null where nobody measures it. */
  readonly measured: readonly (number | null)[];
  /** Of the measured flows' errors, noise and systematic tolerance together; unmeasured rows and columns are not read. */
  readonly covariance: Matrix;
}

export interface Reconciliation {
  /** One a flow: reconciled where it is measured, computed where the balances determine it, else null. */
  readonly flows: readonly (number | null)[];
  /** Of `flows`. */
  readonly standardErrors: readonly (number | null)[];
  /** What was measured less what is reconciled; null where nothing is measured. */
  readonly adjustments: readonly (number | null)[];
  readonly adjustmentVariances: readonly (number | null)[];
  /** The balances between measured flows alone, over all columns, and what the measurements miss in each. */
  readonly balances: Matrix;
  readonly residuals: Vector;
  readonly residualCovariance: Matrix;
}

/**
 * The flows that satisfy every balance and lie as near to the measurements as their errors allow.
 *
 *     residuals = A y;  S = A V transpose(A);  flows = y - V transpose(A) S^-1 residuals
 *     covariance of the flows = V - V transpose(A) S^-1 A V
 *
 * Shape    balances, measurements of one window and their covariance in; the reconciled flows and all that the tests
 *          for gross errors need out. Without redundancy there is no residual, and flows are as measured.
 * Units    x (one unit for all flows) -> x
 * Unknown  a flow is null when it is neither measured nor determined. A flow below zero is given as it is: the
 *          measurements and the balances cannot both hold.
 * Throws   RangeError when a size does not fit, a measurement is not finite, a balance follows from the others, or the
 *          covariance is not positive definite.
 * Source   Narasimhan & Jordache, Data Reconciliation and Gross Error Detection (2000), ch. 3; VDI 2048 Part 1.
 *
 * @example 101 in and 99 out of one machine, equally sure of both: 100 and 100
 */
export function reconcileFlows(inputs: FlowMeasurements): Reconciliation {
  expectSizes(inputs);
  const { measured } = inputs;
  const unmeasured = [...measured.keys()].filter((index) => measured[index] === null);
  const { balances, computed } = projectOut(inputs.balances, unmeasured);

  const y = measured.map((value) => value ?? 0);
  const covariance = measuredOnly(inputs.covariance, measured);
  expectPositiveDefinite(inputs.covariance, measured);
  const spread = times(covariance, transpose(balances));
  const residuals = timesVector(balances, y);
  const residualCovariance = balances.map((row) => timesVector(transpose(spread), row));
  const solve = solverOf('reconcileFlows.residualCovariance', residualCovariance);

  const pull = solve(residuals);
  const adjustments = spread.map((row) => dot(row, pull));
  const adjustmentCovariance = spreadOver(spread, solve);
  const reconciled = {
    values: minus(y, adjustments),
    covariance: covariance.map((row, i) => minus(row, adjustmentCovariance[i] ?? [])),
  };
  return {
    ...flowsOf(measured, computed, reconciled),
    adjustments: measured.map((value, i) => (value === null ? null : at(adjustments, i))),
    adjustmentVariances: measured.map((value, i) =>
      value === null ? null : at(adjustmentCovariance[i] ?? [], i),
    ),
    balances,
    residuals,
    residualCovariance,
  };
}

/** V transpose(A) S^-1 A V: how much of each measurement's variance the balances take away. */
function spreadOver(spread: Matrix, solve: (b: Vector) => Vector): Matrix {
  const solved = spread.map((row) => solve(row));
  return spread.map((row) => solved.map((other) => dot(row, other)));
}

function flowsOf(
  measured: FlowMeasurements['measured'],
  computed: ReadonlyMap<number, Vector>,
  reconciled: { readonly values: Vector; readonly covariance: Matrix },
) {
  const flows: (number | null)[] = [];
  const standardErrors: (number | null)[] = [];
  for (const [index, value] of measured.entries()) {
    const unit = measured.map((_, other) => (other === index ? 1 : 0));
    const weights = value === null ? computed.get(index) : unit;
    flows.push(weights === undefined ? null : dot(weights, reconciled.values));
    standardErrors.push(weights === undefined ? null : deviationOf(weights, reconciled.covariance));
  }
  return { flows, standardErrors };
}

function deviationOf(weights: Vector, covariance: Matrix): number {
  // Rounding can leave a variance that is zero a little below it.
  return Math.sqrt(Math.max(0, dot(weights, timesVector(covariance, weights))));
}

function measuredOnly(covariance: Matrix, measured: FlowMeasurements['measured']): Matrix {
  return measured.map((value, i) =>
    measured.map((other, j) => (value === null || other === null ? 0 : at(covariance[i] ?? [], j))),
  );
}

function expectPositiveDefinite(covariance: Matrix, measured: FlowMeasurements['measured']): void {
  const kept = [...measured.keys()].filter((index) => measured[index] !== null);
  solverOf(
    'reconcileFlows.covariance',
    kept.map((i) => kept.map((j) => at(covariance[i] ?? [], j))),
  );
}

function expectSizes({ balances, measured, covariance }: FlowMeasurements): void {
  for (const [name, rows] of Object.entries({ balances, covariance })) {
    for (const [index, row] of rows.entries()) {
      if (row.length === measured.length) continue;
      throw figureInputError(`reconcileFlows.${name}[${index}] length`, row.length, `${measured.length}`);
    }
  }
  if (covariance.length !== measured.length) {
    throw figureInputError('reconcileFlows.covariance length', covariance.length, `${measured.length}`);
  }
  for (const [index, value] of measured.entries()) {
    if (value !== null) expectFinite(`reconcileFlows.measured[${index}]`, value);
  }
}
