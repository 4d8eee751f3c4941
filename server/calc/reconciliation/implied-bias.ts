import { dot, solverOf, transpose } from '../matrix.ts';
import type { Reconciliation } from './reconcile-flows.ts';

export interface ImpliedBias {
  /** What the instrument reads too much, if it alone is wrong. */
  readonly bias: number;
  readonly standardError: number;
}

/**
 * By how much one instrument would have to be wrong to explain the residuals, if it were the only one.
 *
 *     bias = transpose(a) S^-1 residuals / (transpose(a) S^-1 a), a = the instrument's column of the balances
 *     standard error = 1 / sqrt(transpose(a) S^-1 a)
 *
 * Shape    one reconciliation and a flow's index in, its bias out.
 * Units    x -> x
 * Unknown  null for a flow that is not measured, or that no balance checks.
 * Throws   never
 * Source   generalised likelihood ratio test, Narasimhan & Mah, AIChE J. 33 (1987) 1514.
 *
 * @example 101 in and 99 out: the scale at the inlet would read 2 too much, or the one at the outlet 2 too little
 */
export function impliedBias(reconciliation: Reconciliation, flow: number): ImpliedBias | null {
  const { balances, residuals, residualCovariance, adjustments } = reconciliation;
  const column = transpose(balances)[flow] ?? [];
  const isMeasured = (adjustments[flow] ?? null) !== null;
  if (!isMeasured || dot(column, column) === 0) return null;
  const solved = solverOf('impliedBias.residualCovariance', residualCovariance)(column);
  const information = dot(column, solved);
  return { bias: dot(solved, residuals) / information, standardError: 1 / Math.sqrt(information) };
}
