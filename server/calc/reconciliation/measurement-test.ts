import { at } from '../matrix.ts';
import type { Reconciliation } from './reconcile-flows.ts';

/**
 * How far each measurement had to be moved, in standard deviations of such moves.
 *
 *     z_j = |measured_j - reconciled_j| / sqrt((V transpose(A) S^-1 A V)_jj)
 *
 * Shape    one reconciliation in, one number a flow out. To be compared with the normal quantile at the Sidak level.
 * Units    x, x^2 -> 1
 * Unknown  null for a flow that is not measured, or that no balance checks.
 * Throws   never
 * Source   measurement test, Narasimhan & Jordache (2000), ch. 7.
 *
 * @example 101 in and 99 out, each with a standard deviation of 1: 1.4142 for both, so neither can be named
 */
export function measurementTest(reconciliation: Reconciliation): readonly (number | null)[] {
  const { balances, adjustments, adjustmentVariances } = reconciliation;
  return adjustments.map((adjustment, j) => {
    const isChecked = balances.some((row) => at(row, j) !== 0);
    const variance = adjustmentVariances[j] ?? 0;
    if (adjustment === null || !isChecked || variance <= 0) return null;
    return Math.abs(adjustment) / Math.sqrt(variance);
  });
}
