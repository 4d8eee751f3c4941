import { expectPositive } from '../expect-positive.ts';
import { figureInputError } from '../figure-input-error.ts';
import { ratio, type Ratio } from '../units.ts';
import type { TimeWindow } from '../covered-integral.ts';

export interface BusyRule {
  readonly periodMs: number;
  /** A period with more annunciations than this is too busy. */
  readonly above: number;
}

/**
 * Which part of the clock's periods had too many annunciations.
 *
 *     share = periods with more than `above` / all periods that fit into the window
 *
 * Shape    annunciations in any order, a window and a rule in, one ratio out. Periods follow each other from the window's
 *          start; each holds its start and not its end; a rest that is no whole period is left out.
 * Units    ms -> 1
 * Unknown  none
 * Throws   RangeError when the period is not positive or does not fit into the window.
 * Source   ISA-18.2 / IEC 62682: under 1 % of 10-minute periods with more than 10 (from memory).
 *
 * @example 12 alarms in the first of six ten-minute periods, limit 10: 1/6
 */
export function busyShare(
  annunciations: readonly { readonly timeMs: number }[],
  window: TimeWindow,
  { periodMs, above }: BusyRule,
): Ratio {
  expectPositive('busyShare.periodMs [ms]', periodMs);
  const periods = Math.floor((window.toMs - window.fromMs) / periodMs);
  if (!(periods >= 1)) throw figureInputError('busyShare.window whole periods [1]', periods, '>= 1');

  const counts = new Array<number>(periods).fill(0);
  for (const { timeMs } of annunciations) {
    const period = Math.floor((timeMs - window.fromMs) / periodMs);
    if (period >= 0 && period < periods) counts[period] = (counts[period] ?? 0) + 1;
  }
  return ratio(counts.filter((count) => count > above).length / periods);
}
