import type { AlarmMessage, AlarmState, Priority } from '../../server/contract/alarm-message.ts';

const URGENCY: Readonly<Record<Priority, number>> = { critical: 0, high: 1, medium: 2, low: 3 };

const UNACKNOWLEDGED: ReadonlySet<AlarmState> = new Set([
  'unacknowledged',
  'returned-unacknowledged',
  'latched-unacknowledged',
]);
const ACTIVE: ReadonlySet<AlarmState> = new Set(['unacknowledged', 'acknowledged']);
const SET_ASIDE: ReadonlySet<AlarmState> = new Set(['shelved', 'suppressed-by-design', 'out-of-service']);

export function isUnacknowledged({ state }: AlarmMessage): boolean {
  return UNACKNOWLEDGED.has(state);
}

/** Whether the condition holds now and is meant to be seen. */
function isActive({ state }: AlarmMessage): boolean {
  return ACTIVE.has(state);
}

export function isSetAside({ state }: AlarmMessage): boolean {
  return SET_ASIDE.has(state);
}

/** What must be acknowledged first, then by priority, then the newest. */
export function inAlarmOrder(alarms: readonly AlarmMessage[]): AlarmMessage[] {
  return alarms.toSorted(
    (one, other) =>
      Number(isUnacknowledged(other)) - Number(isUnacknowledged(one)) ||
      URGENCY[one.priority] - URGENCY[other.priority] ||
      other.raisedMs - one.raisedMs,
  );
}

/** By priority, then the newest: the order of a list that is worked off. */
export function byPriority(alarms: readonly AlarmMessage[]): AlarmMessage[] {
  return alarms.toSorted(
    (one, other) => URGENCY[one.priority] - URGENCY[other.priority] || other.raisedMs - one.raisedMs,
  );
}

export interface AlarmCounts {
  readonly unacknowledged: number;
  readonly active: number;
  readonly setAside: number;
}

export function alarmCounts(alarms: readonly AlarmMessage[]): AlarmCounts {
  return {
    unacknowledged: alarms.filter(isUnacknowledged).length,
    active: alarms.filter(isActive).length,
    setAside: alarms.filter(isSetAside).length,
  };
}

/** The most urgent active alarm about one of these tags or figures. */
export function mostUrgentAbout(
  alarms: readonly AlarmMessage[],
  subjects: readonly string[],
): AlarmMessage | undefined {
  return inAlarmOrder(alarms.filter((alarm) => isActive(alarm) && subjects.includes(alarm.subject)))[0];
}
