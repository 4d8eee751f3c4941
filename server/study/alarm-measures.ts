import { alarmMetrics } from '../alarms/alarm-metrics.ts';
import { metricVerdicts } from '../alarms/metric-verdicts.ts';
import type { JournalEntry } from '../contract/alarm-journal.ts';
import type { AlarmMeasures } from '../contract/alarm-measures.ts';
import type { AlarmState } from '../contract/alarm-message.ts';
import type { RecordStore, TimeRange } from '../ports/record-store.ts';
import { journalOf } from './journal-reader.ts';

const DAY_MS = 86_400_000;
const STANDING: ReadonlySet<AlarmState> = new Set(['unacknowledged', 'acknowledged']);

/** The numbers of a time from the journal; of one line, or of all. */
export async function measuresOf(
  records: RecordStore,
  range: TimeRange,
  line: string | null,
): Promise<AlarmMeasures> {
  const isMeant = (entry: JournalEntry) => line === null || entry.line === line;
  const dayBeforeMs = range.toMs - DAY_MS;
  const entries = (
    await journalOf(records, { ...range, fromMs: Math.min(range.fromMs, dayBeforeMs) })
  ).filter(isMeant);
  const before = (await records.lastAlarmEntries(dayBeforeMs)).filter(isMeant);
  const lastDay = entries.filter(({ timeMs }) => timeMs >= dayBeforeMs);
  return measuresFrom(entries, stoodAllDay(before, lastDay), range);
}

/** Alarms that stood a day before the end and at no time since then did not. */
function stoodAllDay(
  before: readonly JournalEntry[],
  lastDay: readonly JournalEntry[],
): readonly JournalEntry[] {
  const left = new Set(lastDay.filter(({ to }) => !STANDING.has(to)).map(({ alarm }) => alarm));
  return before.filter(({ alarm, to }) => STANDING.has(to) && !left.has(alarm));
}

function measuresFrom(
  entries: readonly JournalEntry[],
  standing: readonly JournalEntry[],
  range: TimeRange,
): AlarmMeasures {
  const stood = standing.map(({ alarm, to, timeMs }) => ({ id: alarm, state: to, raisedMs: timeMs }));
  const metrics = alarmMetrics(entries, stood, range);
  return {
    ...range,
    ...metrics,
    floods: metrics.floods.map((flood) => ({ ...flood })),
    topTen: metrics.topTen.map((count) => ({ ...count })),
    chattering: [...metrics.chattering],
    fleeting: [...metrics.fleeting],
    stale: [...metrics.stale],
    verdicts: metricVerdicts(metrics).map((verdict) => ({ ...verdict })),
  };
}
