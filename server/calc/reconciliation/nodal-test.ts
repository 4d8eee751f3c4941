import { at } from '../matrix.ts';
import type { Reconciliation } from './reconcile-flows.ts';

/**
 * How far each balance is from closing, in standard deviations.
 *
 *     z_i = |residual_i| / sqrt(S_ii)
 *
 * Shape    one reconciliation in, one number a balance between measured flows out.
 * Units    x, x^2 -> 1
 * Unknown  none
 * Throws   never
 * Source   nodal test, Narasimhan & Jordache (2000), ch. 7.
 *
 * @example 101 in and 99 out, each with a standard deviation of 1: 1.4142
 */
export function nodalTest({ residuals, residualCovariance }: Reconciliation): readonly number[] {
  return residuals.map((residual, i) => Math.abs(residual) / Math.sqrt(at(residualCovariance[i] ?? [], i)));
}
