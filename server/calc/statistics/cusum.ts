import { expectFinite } from '../expect-finite.ts';
import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';

export interface CusumChart {
  readonly target: number;
  /** Deviation that is not worth counting: half the shift to be found. */
  readonly allowance: number;
  /** Sum at which the chart signals. */
  readonly decision: number;
}

export interface CusumSums {
  readonly high: number;
  readonly low: number;
}

export interface CusumStep extends CusumSums {
  readonly signal: 'high' | 'low' | null;
}

export const CUSUM_START: CusumSums = { high: 0, low: 0 };

/**
 * The two sums of a tabular CUSUM after one more value, and whether they have gone too far.
 *
 *     high' = max(0, high + value - target - allowance);  low' = max(0, low + target - allowance - value)
 *     signal when a sum is above the decision
 *
 * Shape    the sums so far and one value in, the sums now out. The chart goes on after a signal; the caller restarts it.
 * Units    x -> x
 * Unknown  none
 * Throws   RangeError when a value is not finite, the allowance negative or the decision not positive.
 * Source   NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3.
 *
 * @example target 99, allowance 1: from 0 the value 102 leads to a high sum of 2 and a low sum of 0
 */
export function cusum(sums: CusumSums, value: number, chart: CusumChart): CusumStep {
  const { target, allowance, decision } = chart;
  expectFinite('cusum.value', value);
  expectFinite('cusum.target', target);
  expectNotNegative('cusum.allowance', allowance);
  expectPositive('cusum.decision', decision);

  const high = Math.max(0, sums.high + value - target - allowance);
  const low = Math.max(0, sums.low + target - allowance - value);
  return { high, low, signal: high > decision ? 'high' : low > decision ? 'low' : null };
}
