import { expectNotNegative } from '../expect-not-negative.ts';
import { hours, ratio, type Hours, type Ratio } from '../units.ts';

export interface FailureHistory {
  readonly uptime: Hours;
  readonly repairTime: Hours;
  readonly failures: number;
}

/** 'classic' divides by the failures; 'iso-22400-2' by the failures and one, so that it has an answer without any. */
export type FailureDefinition = 'classic' | 'iso-22400-2';

export interface FailureTimes {
  readonly betweenFailures: Hours | null;
  readonly toRepair: Hours | null;
  /** Time between failures over time between failures and to repair. */
  readonly availability: Ratio | null;
}

/**
 * How long a machine runs between failures, how long a repair takes, and what share of time that leaves.
 *
 *     MTBF = uptime / n;  MTTR = repairTime / n;  availability = MTBF / (MTBF + MTTR);  n = failures, or failures + 1
 *
 * Shape    totals of one period in, three numbers out.
 * Units    h -> h, 1
 * Unknown  null by the classic definition without a failure; availability also without any time.
 * Throws   RangeError when an argument is negative.
 * Source   classic reliability; ISO 22400-2. The report names which.
 *
 * @example 690 h up and 30 h under repair with 5 failures, classic: 138 h, 6 h, 95.833 %
 */
export function failureTimes(history: FailureHistory, definition: FailureDefinition): FailureTimes {
  const { uptime, repairTime, failures } = history;
  expectNotNegative('failureTimes.uptime [h]', uptime);
  expectNotNegative('failureTimes.repairTime [h]', repairTime);
  expectNotNegative('failureTimes.failures [1]', failures);

  const n = definition === 'classic' ? failures : failures + 1;
  const each = (time: Hours) => (n > 0 ? hours(time / n) : null);
  const total = uptime + repairTime;
  const availability = n > 0 && total > 0 ? ratio(uptime / total) : null;
  return { betweenFailures: each(uptime), toRepair: each(repairTime), availability };
}
