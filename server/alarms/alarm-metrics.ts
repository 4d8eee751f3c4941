import type { AlarmMessage, AlarmTransition, Priority } from '../contract/alarm-message.ts';
import { annunciationCounts, annunciationsIn, type AlarmCount } from './annunciations.ts';
import { floodsIn, type Flood } from './flood.ts';

/** How good the alarms of one operator position were over a time, in the measures of ISA-18.2 and EEMUA 191. */
export interface AlarmMetrics {
  readonly annunciations: number;
  readonly perDay: number;
  readonly perHour: number;
  readonly perTenMinutes: number;
  /** Most in any ten minutes, wherever they begin. */
  readonly tenMinutesMax: number;
  /** Share of the clock's ten-minute periods with more than 10, and of its hours with more than 30. */
  readonly busyTenMinutesRatio: number;
  readonly busyHoursRatio: number;
  readonly floods: readonly Flood[];
  readonly floodRatio: number;
  readonly topTen: readonly AlarmCount[];
  /** Share of all annunciations that the ten most frequent alarms made. */
  readonly topTenRatio: number;
  /** At least three within a minute. */
  readonly chattering: readonly string[];
  /** Gone, unacknowledged, before anyone could act. */
  readonly fleeting: readonly string[];
  /** There for more than a day. */
  readonly stale: readonly string[];
  readonly byPriority: Readonly<Record<Priority, number>>;
  /** Null when nobody acknowledged anything. */
  readonly acknowledgeMsMedian: number | null;
  /** Within this time 95 of 100 were acknowledged; null likewise. */
  readonly acknowledgeMsP95: number | null;
}

const MINUTE_MS = 60_000;
const TEN_MINUTES_MS = 10 * MINUTE_MS;
const HOUR_MS = 60 * MINUTE_MS;
const DAY_MS = 24 * HOUR_MS;
/** Too short to read an alarm and do something; a project default. */
const FLEETING_MS = 10_000;

type StandingAlarm = Pick<AlarmMessage, 'id' | 'state' | 'raisedMs'>;

interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * The measures of a journal.
 *
 * Shape    transitions of the span in ascending time, and the alarms that stand at its end -> measures
 * Units    ms -> counts, counts a time, ratios
 * Throws   RangeError when the span is empty
 * Source   IEC 62682:2014 / ISA-18.2; EEMUA 191
 *
 * @example 720 annunciations in 5 days: 144 a day, 6 an hour, 1 in ten minutes
 */
export function alarmMetrics(
  journal: readonly AlarmTransition[],
  standing: readonly StandingAlarm[],
  span: Span,
): AlarmMetrics {
  const lengthMs = span.toMs - span.fromMs;
  if (!(lengthMs > 0))
    throw new RangeError(`FIGURE_INPUT alarmMetrics.span [ms]: got ${lengthMs}, expected > 0`);
  const inSpan = journal.filter(({ timeMs }) => timeMs >= span.fromMs && timeMs < span.toMs);
  const asked = annunciationsIn(inSpan);
  const times = asked.map(({ timeMs }) => timeMs).sort((a, b) => a - b);
  const counts = annunciationCounts(asked);
  const floods = floodsIn(times, span.toMs);
  return {
    annunciations: asked.length,
    perDay: (asked.length * DAY_MS) / lengthMs,
    perHour: (asked.length * HOUR_MS) / lengthMs,
    perTenMinutes: (asked.length * TEN_MINUTES_MS) / lengthMs,
    tenMinutesMax: mostWithin(times, TEN_MINUTES_MS),
    busyTenMinutesRatio: busyRatio(times, span, { periodMs: TEN_MINUTES_MS, above: 10 }),
    busyHoursRatio: busyRatio(times, span, { periodMs: HOUR_MS, above: 30 }),
    floods,
    floodRatio:
      floods.reduce((sum, { startMs, endMs }) => sum + (endMs ?? span.toMs) - startMs, 0) / lengthMs,
    topTen: counts.slice(0, 10),
    topTenRatio:
      asked.length === 0 ? 0 : counts.slice(0, 10).reduce((sum, { count }) => sum + count, 0) / asked.length,
    chattering: counts
      .map(({ alarm }) => alarm)
      .filter(
        (id) =>
          mostWithin(
            asked.filter(({ alarm }) => alarm === id).map(({ timeMs }) => timeMs),
            MINUTE_MS,
          ) >= 3,
      ),
    fleeting: fleetingIn(inSpan),
    stale: standing.filter((alarm) => isStale(alarm, span.toMs)).map(({ id }) => id),
    byPriority: byPriority(asked),
    ...acknowledgeTimes(inSpan),
  };
}

/** Most instants in any closed stretch of that length. */
function mostWithin(times: readonly number[], lengthMs: number): number {
  let most = 0;
  let first = 0;
  times.forEach((timeMs, last) => {
    while ((times[first] ?? timeMs) < timeMs - lengthMs) first += 1;
    most = Math.max(most, last - first + 1);
  });
  return most;
}

function busyRatio(times: readonly number[], span: Span, limit: { periodMs: number; above: number }): number {
  const periodOf = (timeMs: number) => Math.floor(timeMs / limit.periodMs);
  const counts = new Map<number, number>();
  for (const timeMs of times) counts.set(periodOf(timeMs), (counts.get(periodOf(timeMs)) ?? 0) + 1);
  const periods = periodOf(span.toMs - 1) - periodOf(span.fromMs) + 1;
  return [...counts.values()].filter((count) => count > limit.above).length / periods;
}

function fleetingIn(journal: readonly AlarmTransition[]): readonly string[] {
  const askedMs = new Map<string, number>();
  const found = new Set<string>();
  for (const { alarm, timeMs, to } of journal) {
    const sinceMs = askedMs.get(alarm);
    if (to === 'unacknowledged') askedMs.set(alarm, timeMs);
    else if (to === 'returned-unacknowledged' && sinceMs !== undefined && timeMs - sinceMs < FLEETING_MS)
      found.add(alarm);
  }
  return [...found];
}

function isStale({ state, raisedMs }: StandingAlarm, nowMs: number): boolean {
  return (state === 'unacknowledged' || state === 'acknowledged') && nowMs - raisedMs > DAY_MS;
}

function byPriority(asked: readonly AlarmTransition[]): Record<Priority, number> {
  const counts = { critical: 0, high: 0, medium: 0, low: 0 };
  for (const { priority } of asked) counts[priority] += 1;
  return counts;
}

function acknowledgeTimes(journal: readonly AlarmTransition[]) {
  const taken = acknowledgeMs(journal);
  const middle = (taken.length - 1) / 2;
  const [low, high] = [taken[Math.floor(middle)], taken[Math.ceil(middle)]];
  return {
    acknowledgeMsMedian: low === undefined || high === undefined ? null : (low + high) / 2,
    // Nearest rank: the shortest time that at least 95 of 100 did not exceed.
    acknowledgeMsP95: taken[Math.ceil(taken.length * 0.95) - 1] ?? null,
  };
}

/** How long each acknowledgement took, in ascending order. */
function acknowledgeMs(journal: readonly AlarmTransition[]): readonly number[] {
  const askedMs = new Map<string, number>();
  const taken: number[] = [];
  for (const { alarm, timeMs, from, to, by } of journal) {
    const sinceMs = askedMs.get(alarm);
    if (to === 'unacknowledged' && from !== to) askedMs.set(alarm, timeMs);
    const isAcknowledged = from.endsWith('unacknowledged') && !to.endsWith('unacknowledged') && by !== null;
    if (!isAcknowledged || sinceMs === undefined) continue;
    taken.push(timeMs - sinceMs);
    askedMs.delete(alarm);
  }
  return taken.sort((a, b) => a - b);
}
