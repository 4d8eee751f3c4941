/** Instants as text in the plant's time zone. One formatter per zone and form is kept: making one is slow. */
const formatters = new Map<string, Intl.DateTimeFormat>();

type TimeForm = 'clock' | 'minute' | 'day' | 'stamp';

const FORMS: Readonly<Record<TimeForm, Intl.DateTimeFormatOptions>> = {
  clock: { hour: '2-digit', minute: '2-digit', second: '2-digit', hourCycle: 'h23' },
  minute: { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' },
  day: { weekday: 'short', day: 'numeric', month: 'short' },
  stamp: {
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
    hourCycle: 'h23',
  },
};

/** Where and in which language an instant is read. */
export interface TimeReader {
  readonly timeZone: string;
  readonly locale: string;
}

/** 14:06:31 */
export function clockText(timeMs: number, reader: TimeReader): string {
  return formatter('clock', reader).format(timeMs);
}

/** 14:06 */
export function minuteText(timeMs: number, reader: TimeReader): string {
  return formatter('minute', reader).format(timeMs);
}

/** Tue, 12 May */
export function dayText(timeMs: number, reader: TimeReader): string {
  return formatter('day', reader).format(timeMs);
}

/** 12 May, 14:06:31 */
export function stampText(timeMs: number, reader: TimeReader): string {
  return formatter('stamp', reader).format(timeMs);
}

/** The clock alone for an instant of the same day as `nowMs`, with the day before it otherwise. */
export function recentText(timeMs: number, nowMs: number, reader: TimeReader): string {
  return dayText(timeMs, reader) === dayText(nowMs, reader)
    ? clockText(timeMs, reader)
    : stampText(timeMs, reader);
}

function formatter(form: TimeForm, { timeZone, locale }: TimeReader): Intl.DateTimeFormat {
  const key = `${form} ${timeZone} ${locale}`;
  const kept = formatters.get(key);
  if (kept !== undefined) return kept;
  const made = new Intl.DateTimeFormat(locale, { ...FORMS[form], timeZone });
  formatters.set(key, made);
  return made;
}
