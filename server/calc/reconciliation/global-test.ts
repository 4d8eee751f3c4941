import { chiSquareQuantile } from '../statistics/chi-square-quantile.ts';
import { dot, solverOf } from '../matrix.ts';
import type { Reconciliation } from './reconcile-flows.ts';

export interface GlobalTest {
  readonly statistic: number;
  readonly degreesOfFreedom: number;
  readonly critical: number;
  /** The measurements do not fit together: some instrument is wrong by more than it admits. */
  readonly isExceeded: boolean;
}

/**
 * Whether the measurements, taken together, fit the balances.
 *
 *     statistic = transpose(residuals) * S^-1 * residuals, chi-square with one degree of freedom a balance
 *
 * Shape    one reconciliation and the level of false alarms in, one verdict out; null where nothing is redundant.
 * Units    1 -> 1
 * Unknown  null when there is no balance between measured flows.
 * Throws   RangeError unless the level lies between 0 and 1.
 * Source   Narasimhan & Jordache (2000), ch. 7; VDI 2048 Part 1.
 *
 * @example 101 in and 99 out, each with a standard deviation of 1: 2.0, below the critical 3.84 at 5 %
 */
export function globalTest(reconciliation: Reconciliation, level: number): GlobalTest | null {
  const { residuals, residualCovariance } = reconciliation;
  if (residuals.length === 0) return null;
  const solve = solverOf('globalTest.residualCovariance', residualCovariance);
  const statistic = dot(residuals, solve(residuals));
  const critical = chiSquareQuantile(1 - level, residuals.length);
  return { statistic, degreesOfFreedom: residuals.length, critical, isExceeded: statistic > critical };
}
