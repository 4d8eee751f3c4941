import { expectInTimeOrder } from '../expect-in-time-order.ts';
import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';

export interface FloodRules {
  readonly windowMs: number;
  /** More annunciations than this in a window begin a flood. */
  readonly startAbove: number;
  /** Fewer than this in a window end it. */
  readonly endBelow: number;
}

export interface Flood {
  readonly fromMs: number;
  /** Null while it lasts. */
  readonly toMs: number | null;
  readonly annunciations: number;
}

/**
 * When alarms came faster than anybody can follow.
 *
 *     calm --more than startAbove in the window--> flood --fewer than endBelow in the window--> calm
 *
 * Shape    annunciations in time order and the time now in; floods out, the last of them perhaps still going on. The
 *          window slides and holds both its ends; a flood ends when the annunciation that leaves makes it too few.
 * Units    ms -> ms
 * Unknown  none
 * Throws   RangeError when annunciations are out of time order, the window or endBelow is not positive, or endBelow is
 *          above startAbove.
 * Source   ISA-18.2 / EEMUA 191: usually more than 10 in 10 min begin, fewer than 5 end it (from memory).
 *
 * @example 11 alarms, at 0, 1, ... 10 min: a flood from the 11th, at 10 min, to 16 min, when that of 6 min leaves four
 */
export function alarmFloods(
  annunciations: readonly { readonly timeMs: number }[],
  nowMs: number,
  rules: FloodRules,
): readonly Flood[] {
  expectInTimeOrder('alarmFloods.annunciations', annunciations);
  expectPositive('alarmFloods.windowMs [ms]', rules.windowMs);
  expectWithin('alarmFloods.endBelow [1]', rules.endBelow, { low: 1, high: rules.startAbove });

  const times = annunciations.map(({ timeMs }) => timeMs);
  const floods: Flood[] = [];
  let index = 0;
  while (index < times.length) {
    const start = times.findIndex((timeMs, i) => i >= index && countIn(times, i, rules) > rules.startAbove);
    if (start === -1) break;
    const last = lastOfFlood(times, start, rules);
    const endMs = leavingTime(times, last, rules);
    const fromMs = times[start] ?? nowMs;
    floods.push({ fromMs, toMs: endMs > nowMs ? null : endMs, annunciations: last - start + 1 });
    index = last + 1;
  }
  return floods;
}

/** How many annunciations the window that ends with this one holds. */
function countIn(times: readonly number[], index: number, { windowMs }: FloodRules): number {
  const end = times[index] ?? 0;
  let first = index;
  while (first > 0 && (times[first - 1] ?? end) >= end - windowMs) first -= 1;
  return index - first + 1;
}

/** The last annunciation before the window runs low: the next one comes too late to keep it full. */
function lastOfFlood(times: readonly number[], start: number, rules: FloodRules): number {
  let last = start;
  while (last + 1 < times.length && (times[last + 1] ?? 0) <= leavingTime(times, last, rules)) last += 1;
  return last;
}

/** When, after this annunciation and with no other, the window comes to hold fewer than endBelow. */
function leavingTime(times: readonly number[], last: number, { windowMs, endBelow }: FloodRules): number {
  return (times[last - endBelow + 1] ?? 0) + windowMs;
}
