import { Temporal } from 'temporal-polyfill';

export interface ShiftStart {
  readonly name: string;
  /** Minutes after local midnight. */
  readonly startsMinute: number;
}

/**
 * The shift that runs at an instant, and when it began, in the plant's own time zone.
 *
 * A shift begins when the wall clock shows its time, so on daylight-saving days one shift is an hour shorter or
 * longer. A wall time that the clock skips begins when the clock has skipped it.
 *
 * @example 05:59 in the plant, shifts from 06:00 and 22:00: the one from 22:00 of the day before
 */
export function shiftAt(
  shifts: readonly ShiftStart[],
  timeZone: string,
  nowMs: number,
): { readonly name: string; readonly startedMs: number } | null {
  const today = Temporal.Instant.fromEpochMilliseconds(nowMs).toZonedDateTimeISO(timeZone).toPlainDate();
  const starts = [today.subtract({ days: 1 }), today].flatMap((day) =>
    shifts.map(({ name, startsMinute }) => ({ name, startedMs: startOf(day, startsMinute, timeZone) })),
  );
  return (
    starts.filter(({ startedMs }) => startedMs <= nowMs).toSorted((a, b) => b.startedMs - a.startedMs)[0] ??
    null
  );
}

function startOf(day: Temporal.PlainDate, minute: number, timeZone: string): number {
  const plainTime = new Temporal.PlainTime(Math.floor(minute / 60), minute % 60);
  const start = day.toZonedDateTime({ timeZone, plainTime });
  if (start.toPlainTime().equals(plainTime)) return start.epochMilliseconds;
  // The clock skips this time: Temporal would take it as much later as the clock skips, we take the instant of the skip.
  const skip = start.getTimeZoneTransition('previous');
  return (skip ?? start).epochMilliseconds;
}
