import { expectInTimeOrder } from '../expect-in-time-order.ts';
import { expectPositive } from '../expect-positive.ts';

/**
 * Whether one alarm comes and goes faster than anybody can act on it.
 *
 *     chattering when `count` annunciations lie within `withinMs`
 *
 * Shape    the annunciations of one alarm in time order in, yes or no out.
 * Units    ms -> none
 * Unknown  none
 * Throws   RangeError when annunciations are out of time order or a rule is not positive.
 * Source   ISA-18.2: three or more in a minute (from memory).
 *
 * @example at 0, 20 and 60 s: yes, with three within 60 s
 */
export function isChattering(
  annunciations: readonly { readonly timeMs: number }[],
  rule: { readonly count: number; readonly withinMs: number },
): boolean {
  expectInTimeOrder('isChattering.annunciations', annunciations);
  expectPositive('isChattering.count [1]', rule.count);
  expectPositive('isChattering.withinMs [ms]', rule.withinMs);
  return annunciations.some(({ timeMs }, index) => {
    const last = annunciations[index + rule.count - 1];
    return last !== undefined && last.timeMs - timeMs <= rule.withinMs;
  });
}
