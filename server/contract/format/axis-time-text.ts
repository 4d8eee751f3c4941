import { clockText, dayText, minuteText, type TimeReader } from './time-text.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;

/** The label of one tick of a time axis, as fine as the steps between ticks; midnight shows its day. */
export function axisTimeText(timeMs: number, stepMs: number, reader: TimeReader): string {
  if (stepMs >= DAY_MS) return dayText(timeMs, reader);
  if (stepMs < MINUTE_MS) return clockText(timeMs, reader);
  const minute = minuteText(timeMs, reader);
  return minute === '00:00' ? dayText(timeMs, reader) : minute;
}
