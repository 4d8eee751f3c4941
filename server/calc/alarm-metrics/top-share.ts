import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { sumOf } from '../sum-of.ts';
import { ratio, type Ratio } from '../units.ts';

/**
 * Which part of all annunciations the most frequent alarms make.
 *
 *     share = sum of the largest counts / sum of all counts
 *
 * Shape    one count an alarm, and how many alarms are the most frequent ones, in; one ratio out.
 * Units    1 -> 1
 * Unknown  null when there was no annunciation.
 * Throws   RangeError when a count is negative or the number of alarms not positive.
 * Source   ISA-18.2 / IEC 62682: ten alarms, target 1 to 5 % (from memory).
 *
 * @example ten alarms make 300 of 1000 annunciations: 0.3
 */
export function topShare(counts: readonly number[], most: number): Ratio | null {
  for (const [index, count] of counts.entries()) expectNotNegative(`topShare.counts[${index}] [1]`, count);
  expectPositive('topShare.most [1]', most);
  const all = sumOf(counts);
  if (all === 0) return null;
  const largest = counts.toSorted((a, b) => b - a).slice(0, most);
  return ratio(sumOf(largest) / all);
}
