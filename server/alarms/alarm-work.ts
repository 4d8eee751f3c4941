import type { AlarmTransition } from '../contract/alarm-message.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord, Told } from './alarm-record.ts';
import { alarmStateOf, isWithheld, lifeAfter, type LifecycleEvent } from './lifecycle.ts';

/** What one tick collects; it lives no longer than the tick. */
export interface AlarmWork {
  readonly transitions: AlarmTransition[];
  /** Drives that stopped, and contacts that stop drives, not yet put in order. */
  readonly stops: Stop[];
}

/** A stop, by the slot of its rule and the source time at which it was seen. */
export interface Stop {
  readonly slot: number;
  readonly timeMs: number;
}

export interface Happening {
  readonly event: LifecycleEvent;
  readonly timeMs: number;
  /** Null: by the plant, or by time. */
  readonly by: string | null;
  /** What the alarm says from here on, where that changes. */
  readonly told?: Partial<Told>;
  /** What the person said to it, for the journal. */
  readonly said?: Pick<AlarmTransition, 'reason' | 'untilMs'>;
}

/** The record after something happened to its alarm; what changed its shown state is journalled. */
export function happened(
  plan: AlarmPlan,
  record: AlarmRecord,
  happening: Happening & { readonly work: AlarmWork },
): AlarmRecord {
  const { event, timeMs, told, work } = happening;
  const life = lifeAfter(record.life, event, plan.isLatching);
  if (life === record.life && told === undefined) return record;
  const after = withOccasion({ ...record, life, told: { ...record.told, ...told } }, timeMs);
  const from = alarmStateOf(record.life);
  const to = alarmStateOf(life);
  const line = { plan, record: after, from, to, timeMs, by: happening.by };
  if (from !== to) journal({ ...line, ...happening.said }, work);
  const reAlarmDueMs = to === 'acknowledged' ? reAlarmAt(plan, record, { from, timeMs }) : Infinity;
  return { ...after, reAlarmDueMs };
}

interface JournalLine extends Pick<AlarmTransition, 'from' | 'to' | 'timeMs' | 'by' | 'reason' | 'untilMs'> {
  readonly plan: AlarmPlan;
  readonly record: AlarmRecord;
}

export function journal({ plan, record, ...line }: JournalLine, work: AlarmWork): void {
  const { code, priority, params } = record.told;
  const { id: alarm, line: ofLine, machine } = plan.rule;
  const about = { alarm, line: ofLine, machine, subject: plan.subject };
  work.transitions.push({ ...about, ...line, code, priority, params });
}

/** The record after one reason of its suppression has gone; it speaks again when that was the last. */
export function releasedUnlessSuppressed(
  plan: AlarmPlan,
  record: AlarmRecord,
  how: Omit<Happening, 'event' | 'by'> & { readonly work: AlarmWork },
): AlarmRecord {
  const isSuppressed = record.underSlot !== null || record.told.suppressedBy.length > 0;
  if (isSuppressed) return { ...record, told: { ...record.told, ...how.told } };
  return happened(plan, record, { ...how, event: 'release', by: null });
}

/** An alarm that is withheld before it was ever raised is told as raised and cleared when it was withheld. */
function withOccasion(record: AlarmRecord, timeMs: number): AlarmRecord {
  if (record.told.raisedMs !== 0 || !isWithheld(record.life)) return record;
  return { ...record, told: { ...record.told, raisedMs: timeMs, clearedMs: timeMs } };
}

function reAlarmAt(plan: AlarmPlan, record: AlarmRecord, at: { from: string; timeMs: number }): number {
  if (at.from === 'acknowledged') return record.reAlarmDueMs;
  return at.timeMs + (plan.rule.reAlarmMs ?? Infinity);
}
