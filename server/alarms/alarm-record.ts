import type { AlarmMessage } from '../contract/alarm-message.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import { TIMER_OFF, type DelayTimer } from './delay-timer.ts';
import { alarmStateOf, NORMAL_LIFE, type Lifecycle } from './lifecycle.ts';
import { premiseAtStart, type PremiseState, type Truth } from './premise.ts';
import { memoryAtStart, type RuleMemory } from './rule-memory.ts';
import type { Sample } from './sample.ts';

/** How one alarm stands. */
export interface AlarmRecord {
  /** What its subject said last. */
  readonly sample: Sample | null;
  /** Run contacts: what the contact last said when it said something. */
  readonly wasOn: Truth;
  readonly armed: PremiseState | null;
  readonly truths: readonly Truth[];
  readonly memory: RuleMemory | null;
  /** One for each condition of the plan. */
  readonly timers: readonly DelayTimer[];
  readonly life: Lifecycle;
  /** A stop that waits to be put in order with the other stops of its line; its life has not been told yet. */
  readonly isUnsettled: boolean;
  /** The rule whose stop this one followed from; null when it stands for itself. */
  readonly underSlot: number | null;
  readonly told: Told;
  readonly reAlarmDueMs: number;
  /** Earliest instant at which time alone changes something. */
  readonly dueMs: number;
}

/** What the alarm says of its latest occurrence. */
export type Told = Pick<
  AlarmMessage,
  'code' | 'priority' | 'params' | 'raisedMs' | 'clearedMs' | 'acknowledged' | 'consequences'
> & {
  readonly candidates: readonly string[];
  /** Ids of suppressions. A follower of a stop is suppressed as well, by its `underSlot`. */
  readonly suppressedBy: readonly string[];
  readonly shelved: NonNullable<AlarmMessage['shelved']> | null;
  readonly outOfService: NonNullable<AlarmMessage['outOfService']> | null;
};

export function recordAtStart(plan: AlarmPlan): AlarmRecord {
  return {
    sample: null,
    wasOn: null,
    armed: plan.armed === null ? null : premiseAtStart(plan.armed),
    truths: plan.when.map(() => null),
    memory: memoryAtStart(plan),
    timers: plan.conditions.map(() => TIMER_OFF),
    life: NORMAL_LIFE,
    isUnsettled: false,
    underSlot: null,
    told: {
      code: plan.conditions[0]?.code ?? 'contact',
      priority: plan.conditions[0]?.priority ?? 'low',
      params: {},
      raisedMs: 0,
      clearedMs: null,
      acknowledged: null,
      consequences: [],
      candidates: [],
      suppressedBy: [],
      shelved: null,
      outOfService: null,
    },
    reAlarmDueMs: Infinity,
    dueMs: Infinity,
  };
}

export function alarmMessageOf(plan: AlarmPlan, record: AlarmRecord): AlarmMessage {
  const { candidates, shelved, outOfService, suppressedBy, consequences, ...told } = record.told;
  const card = plan.conditions.find(({ code }) => code === told.code)?.card ?? plan.rule.card;
  const heldBecause = heldBecauseOf(record);
  return {
    id: plan.rule.id,
    line: plan.rule.line,
    machine: plan.rule.machine,
    subject: plan.subject,
    state: alarmStateOf(record.life),
    ...told,
    card,
    consequences: [...consequences],
    ...(candidates.length > 0 ? { candidates: [...candidates] } : {}),
    ...(suppressedBy.length > 0 ? { suppressedBy: [...suppressedBy] } : {}),
    ...(heldBecause === null ? {} : { heldBecause }),
    ...(shelved === null ? {} : { shelved }),
    ...(outOfService === null ? {} : { outOfService }),
  };
}

/** Whether the message of this alarm differs; the number that its input shows just now is not part of it. */
export function isToldAlike(before: AlarmRecord, after: AlarmRecord): boolean {
  return (
    before.told === after.told &&
    alarmStateOf(before.life) === alarmStateOf(after.life) &&
    heldBecauseOf(before) === heldBecauseOf(after)
  );
}

/** Its condition stands, and only because its input says nothing that could end it. */
function heldBecauseOf(record: AlarmRecord) {
  // A rule on quality is raised by the silence itself.
  return record.life.isActive && record.told.code !== 'bad-quality' ? (record.sample?.because ?? null) : null;
}
