import type { AlarmTransition } from '../../../server/contract/alarm-message.ts';
import type { Lot, Mark, Shift } from '../../../server/contract/records.ts';
import type { TimeWindow } from '../../live/trend-view.ts';

/** What was written down about a stretch of time. */
export interface TimeRecords {
  readonly lots: readonly Lot[];
  readonly shifts: readonly Shift[];
  readonly marks: readonly Mark[];
  readonly transitions: readonly AlarmTransition[];
}

export const NO_RECORDS: TimeRecords = { lots: [], shifts: [], marks: [], transitions: [] };

export type TimeEvent =
  | { readonly kind: 'alarm'; readonly key: string; readonly timeMs: number; readonly alarm: AlarmTransition }
  | { readonly kind: 'mark'; readonly key: string; readonly timeMs: number; readonly mark: Mark };

/** A lot or a shift as a stretch of the time axis; one that still runs has no end. */
export interface TimeSegment {
  readonly kind: 'lot' | 'shift';
  readonly key: string;
  readonly name: string;
  readonly fromMs: number;
  readonly toMs: number | null;
}

/** Alarms as they were raised, and marks, in ascending time. What was acknowledged or cleared is no event of the plant. */
export function eventsOf({ marks, transitions }: TimeRecords, line: string): readonly TimeEvent[] {
  const alarms = transitions
    .filter(({ from, to }) => from === 'normal' && to === 'unacknowledged')
    .map((alarm): TimeEvent => ({
      kind: 'alarm',
      key: `alarm ${alarm.alarm} ${alarm.timeMs}`,
      timeMs: alarm.timeMs,
      alarm,
    }));
  const noted = marks
    .filter((mark) => mark.line === line)
    .map((mark): TimeEvent => ({ kind: 'mark', key: `mark ${mark.id}`, timeMs: mark.timeMs, mark }));
  return [...alarms, ...noted].toSorted((one, other) => one.timeMs - other.timeMs);
}

export function segmentsOf({ lots, shifts }: TimeRecords, line: string): readonly TimeSegment[] {
  const here = <Kept extends { readonly line: string }>(kept: readonly Kept[]) =>
    kept.filter((one) => one.line === line);
  return [
    ...here(shifts).map((shift): TimeSegment => segment('shift', shift.name, shift)),
    ...here(lots).map((lot): TimeSegment => segment('lot', lot.number, lot)),
  ];
}

interface Ran {
  readonly id: number;
  readonly startedMs: number;
  readonly endedMs: number | null;
}

function segment(kind: TimeSegment['kind'], name: string, { id, startedMs, endedMs }: Ran): TimeSegment {
  return { kind, key: `${kind} ${id} ${startedMs}`, name, fromMs: startedMs, toMs: endedMs };
}

/** Events that would stand on each other on the screen, as one. */
export interface EventCluster {
  readonly key: string;
  readonly timeMs: number;
  readonly events: readonly TimeEvent[];
}

/** Gathers what lies closer together than `leastMs`, left to right, within a window. */
export function clustersOf(
  events: readonly TimeEvent[],
  { fromMs, toMs }: TimeWindow,
  leastMs: number,
): readonly EventCluster[] {
  const clusters: { key: string; timeMs: number; events: TimeEvent[] }[] = [];
  for (const event of events) {
    if (event.timeMs < fromMs || event.timeMs > toMs) continue;
    const last = clusters.at(-1);
    if (last !== undefined && event.timeMs - last.timeMs < leastMs) last.events.push(event);
    else clusters.push({ key: event.key, timeMs: event.timeMs, events: [event] });
  }
  return clusters;
}
