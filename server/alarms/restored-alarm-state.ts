import type { AlarmMessage } from '../contract/alarm-message.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import { recordAtStart, type AlarmRecord, type Told } from './alarm-record.ts';
import type { AlarmSetup } from './alarm-setup.ts';
import { alarmStateAtStart, type AlarmState } from './alarm-state.ts';
import type { Stop } from './alarm-work.ts';
import { withDue } from './advance-alarm.ts';
import type { Cascade } from './cascade.ts';
import { TIMER_OFF, TIMER_ON } from './delay-timer.ts';
import { NORMAL_LIFE, type Lifecycle } from './lifecycle.ts';

/**
 * The alarms as they stood when they were last journalled.
 *
 * Every state comes back as it was. What does not come back is a delay that was still running: it starts anew with
 * the first reading. Inputs count as unknown until they are heard, so nothing clears by a restart alone.
 */
export function restoredAlarmState(setup: AlarmSetup, standing: readonly AlarmMessage[]): AlarmState {
  const start = alarmStateAtStart(setup);
  const records = [...start.records];
  for (const message of standing) {
    const plan = planOf(setup, message.id);
    if (plan !== null) records[plan.slot] = restoredRecord(setup, plan, message);
  }
  return {
    ...start,
    records,
    suppressions: setup.suppressions.map(({ id }, at) => {
      const wasOn = standing.some(({ suppressedBy }) => suppressedBy?.includes(id) === true);
      return { truths: start.suppressions[at]?.truths ?? [], timer: wasOn ? TIMER_ON : TIMER_OFF };
    }),
    cascades: setup.stopGraphs.map((graph) => restoredCascades(records, graph.slots)),
    orphans: standing.filter((message) => planOf(setup, message.id) === null),
  };
}

function planOf(setup: AlarmSetup, id: string): AlarmPlan | null {
  const slot = setup.slotOf.get(id);
  return slot === undefined ? null : (setup.plans[slot] ?? null);
}

function restoredRecord(setup: AlarmSetup, plan: AlarmPlan, message: AlarmMessage): AlarmRecord {
  const life = restoredLife(message);
  const start = recordAtStart(plan);
  return withDue({
    ...start,
    life,
    wasOn: life.isActive && plan.rule.kind === 'run-contact' ? false : null,
    // A condition that stands was armed, and stays so until its premise says otherwise.
    armed: start.armed === null ? null : { ...start.armed, timer: life.isActive ? TIMER_ON : TIMER_OFF },
    timers: life.isActive ? timersAt(plan, message.code) : start.timers,
    underSlot: life.isActive && life.isSuppressed ? causeOf(setup, message) : null,
    told: restoredTold(message),
    reAlarmDueMs: reAlarmDueMs(plan, message),
  });
}

function restoredTold(message: AlarmMessage): Told {
  const { code, priority, params, raisedMs, clearedMs, acknowledged, consequences } = message;
  const { candidates = [], suppressedBy = [], shelved = null, outOfService = null } = message;
  return {
    code,
    priority,
    params,
    raisedMs,
    clearedMs,
    acknowledged,
    consequences,
    candidates,
    suppressedBy,
    shelved,
    outOfService,
  };
}

function causeOf(setup: AlarmSetup, { params }: AlarmMessage): number | null {
  const cause = params['causeAlarm'];
  return typeof cause === 'string' ? (setup.slotOf.get(cause) ?? null) : null;
}

function reAlarmDueMs({ rule }: AlarmPlan, { state, acknowledged, raisedMs }: AlarmMessage): number {
  if (state !== 'acknowledged') return Infinity;
  return (acknowledged?.timeMs ?? raisedMs) + (rule.reAlarmMs ?? Infinity);
}

function restoredLife(message: AlarmMessage): Lifecycle {
  const { state, clearedMs, shelved, suppressedBy } = message;
  const isFollower = clearedMs === null && message.params['causeAlarm'] !== undefined;
  const withheld = {
    ...NORMAL_LIFE,
    isActive: clearedMs === null,
    isShelved: shelved !== undefined,
    isSuppressed: suppressedBy !== undefined || isFollower,
    isOutOfService: state === 'out-of-service',
  };
  switch (state) {
    case 'shelved':
    case 'suppressed-by-design':
    case 'out-of-service':
      return withheld;
    case 'unacknowledged':
    case 'acknowledged':
      return { ...NORMAL_LIFE, standing: state, isActive: true };
    default:
      return { ...NORMAL_LIFE, standing: state };
  }
}

/** Beyond the far limit is beyond the near one too. */
function timersAt(plan: AlarmPlan, code: AlarmMessage['code']) {
  const found = plan.conditions.findIndex((condition) => condition.code === code);
  const level = Math.max(0, found);
  const direction = plan.conditions[level]?.direction;
  return plan.conditions.map((condition, at) =>
    at === level || (at > level && condition.direction === direction) ? TIMER_ON : TIMER_OFF,
  );
}

/** Followers under their head, so that a machine that runs again, or never does, is dealt with as before. */
function restoredCascades(records: readonly AlarmRecord[], slots: ReadonlySet<number>): readonly Cascade[] {
  const stopsByHead = new Map<number, Stop[]>();
  for (const slot of slots) {
    const record = records[slot];
    const headSlot = record?.life.isActive === true ? (record.underSlot ?? slot) : null;
    if (record === undefined || headSlot === null) continue;
    const stop = { slot, timeMs: record.told.raisedMs };
    stopsByHead.set(headSlot, [...(stopsByHead.get(headSlot) ?? []), stop]);
  }
  return [...stopsByHead].map(([headSlot, stops]) => ({ headSlot, stops }));
}
