import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { MS_PER_HOUR, MS_PER_MINUTE, type Milliseconds } from '../units.ts';

export interface AlarmRates {
  readonly perDay: number;
  readonly perHour: number;
  readonly perTenMinutes: number;
}

/**
 * How many alarms were announced, a day, an hour and ten minutes at a time, for one operator.
 *
 *     rate = annunciations / period
 *
 * Shape    a count and the period that it is of in, three rates out.
 * Units    1, ms -> 1/d, 1/h, 1/10 min
 * Unknown  none
 * Throws   RangeError when the count is negative or the period not positive.
 * Source   IEC 62682, over at least 30 days; about 6 an hour is its target.
 *
 * @example 720 in 5 days: 144 a day, 6 an hour, 1 in ten minutes
 */
export function alarmRates(annunciations: number, period: Milliseconds): AlarmRates {
  expectNotNegative('alarmRates.annunciations [1]', annunciations);
  expectPositive('alarmRates.period [ms]', period);
  const perHour = (annunciations * MS_PER_HOUR) / period;
  return { perDay: 24 * perHour, perHour, perTenMinutes: (annunciations * 10 * MS_PER_MINUTE) / period };
}
