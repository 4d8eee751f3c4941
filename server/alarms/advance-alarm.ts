import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import { happened, journal, type AlarmWork } from './alarm-work.ts';
import type { ConditionPlan } from './conditions-of-rule.ts';
import { completed, judged } from './delay-timer.ts';
import { isArmed, verdictOn } from './judge-rule.ts';
import { alarmStateOf } from './lifecycle.ts';
import { paramsOfAlarm } from './params-of-alarm.ts';
import { isContactOn, premiseAfter, truthsAfter } from './premise.ts';
import { memoryAfter, memoryAtRest, memoryAtStart, type RuleMemory } from './rule-memory.ts';
import type { Sample } from './sample.ts';
import { clearedStop } from './tell-stop.ts';

/** What a rule listens to a subject for, and for which term. */
export interface Ear {
  readonly slot: number;
  readonly role: 'subject' | 'armed' | 'when';
  readonly term: number;
}

/** The record after one of its subjects spoke, and after all that was due by then. */
export function observed(
  plan: AlarmPlan,
  record: AlarmRecord,
  said: { readonly ear: Ear; readonly sample: Sample; readonly work: AlarmWork },
): AlarmRecord {
  const { ear, sample, work } = said;
  const before = passed(plan, record, { untilMs: sample.timeMs, work });
  const heard = withSample(plan, before, { ear, sample });
  // Arming counts for a stop at the instant of the stop only.
  const isJudged = plan.rule.kind !== 'run-contact' || ear.role === 'subject';
  const after = isJudged ? rejudged(plan, heard, sample.timeMs) : heard;
  const due = withDue(withContact(plan, after, ear));
  return passed(plan, due, { untilMs: sample.timeMs, work });
}

/** The record at `untilMs`, when nothing but time has come to it. */
export function passed(
  plan: AlarmPlan,
  record: AlarmRecord,
  until: { readonly untilMs: number; readonly work: AlarmWork },
): AlarmRecord {
  let at = record;
  while (at.dueMs <= until.untilMs) at = withDue(atDueInstant(plan, at, until.work));
  return at;
}

/** The record of a rule on drift after a lot or setting change: what it has learned no longer holds. */
export function startedAnew(
  plan: AlarmPlan,
  record: AlarmRecord,
  at: { readonly timeMs: number; readonly work: AlarmWork },
): AlarmRecord {
  const { timeMs, work } = at;
  const before = passed(plan, record, { untilMs: timeMs, work });
  const timers = before.timers.map((timer) => judged(timer, { verdict: 'clear', timeMs }, plan.delays));
  const fresh = withDue({ ...before, timers, memory: memoryAtStart(plan) });
  return passed(plan, fresh, { untilMs: timeMs, work });
}

/** The record with its earliest due instant found anew. */
export function withDue(record: AlarmRecord): AlarmRecord {
  let dueMs = Math.min(record.reAlarmDueMs, record.told.shelved?.untilMs ?? Infinity);
  if (record.armed !== null) dueMs = Math.min(dueMs, record.armed.timer.dueMs);
  for (const timer of record.timers) dueMs = Math.min(dueMs, timer.dueMs);
  return dueMs === record.dueMs ? record : { ...record, dueMs };
}

function withSample(plan: AlarmPlan, record: AlarmRecord, said: { ear: Ear; sample: Sample }): AlarmRecord {
  const heard = { term: said.ear.term, sample: said.sample };
  switch (said.ear.role) {
    case 'subject':
      return { ...record, sample: said.sample, memory: memoryOf(plan, record, said.sample) };
    case 'armed':
      if (plan.armed === null || record.armed === null) return record;
      return { ...record, armed: premiseAfter(plan.armed, record.armed, heard) };
    case 'when':
      return { ...record, sample: said.sample, truths: truthsAfter(plan.when, record.truths, heard) };
  }
}

function memoryOf(plan: AlarmPlan, record: AlarmRecord, sample: Sample): RuleMemory | null {
  return memoryAfter(plan, record.memory, { sample, isArmed: isArmed(record) });
}

function withContact(plan: AlarmPlan, record: AlarmRecord, ear: Ear): AlarmRecord {
  const value = record.sample?.value ?? null;
  if (plan.rule.kind !== 'run-contact' || ear.role !== 'subject' || value === null) return record;
  return { ...record, wasOn: isContactOn(value) };
}

function rejudged(plan: AlarmPlan, record: AlarmRecord, timeMs: number): AlarmRecord {
  const timers = record.timers.map((timer, condition) =>
    judged(timer, { verdict: verdictOn(plan, record, condition), timeMs }, plan.delays),
  );
  return timers.every((timer, at) => timer === record.timers[at]) ? record : { ...record, timers };
}

/** Everything that falls due at one instant, together: a jump over two limits is one change. */
function atDueInstant(plan: AlarmPlan, record: AlarmRecord, work: AlarmWork): AlarmRecord {
  const timeMs = record.dueMs;
  const armed = withArming(plan, record, timeMs);
  const timers = armed.timers.map((timer) => (timer.dueMs <= timeMs ? completed(timer) : timer));
  const leveled = withLevel(plan, { ...armed, timers }, { before: armed, timeMs, work });
  const asked =
    leveled.reAlarmDueMs <= timeMs
      ? happened(plan, leveled, { event: 're-alarm', timeMs, by: null, work })
      : leveled;
  const shelvedUntilMs = asked.told.shelved?.untilMs ?? Infinity;
  return shelvedUntilMs <= timeMs ? unshelved(plan, asked, { timeMs, by: null, work }) : asked;
}

/** The record after its shelving has ended, by a person or by itself. */
export function unshelved(
  plan: AlarmPlan,
  record: AlarmRecord,
  how: { readonly timeMs: number; readonly by: string | null; readonly work: AlarmWork },
): AlarmRecord {
  if (!record.life.isShelved) return record;
  return happened(plan, record, { ...how, event: 'unshelve', told: { shelved: null, acknowledged: null } });
}

function withArming(plan: AlarmPlan, record: AlarmRecord, timeMs: number): AlarmRecord {
  if (record.armed === null || record.armed.timer.dueMs > timeMs) return record;
  const timer = completed(record.armed.timer);
  const memory = timer.isOn ? record.memory : memoryAtRest(record.memory);
  const after = { ...record, armed: { ...record.armed, timer }, memory };
  return plan.rule.kind === 'run-contact' ? after : rejudged(plan, after, timeMs);
}

interface Change {
  /** The record as it was before its timers went off. */
  readonly before: AlarmRecord;
  readonly timeMs: number;
  readonly work: AlarmWork;
}

/** Follows the most severe condition that is on: none to some raises, some to none clears, the rest shifts. */
function withLevel(plan: AlarmPlan, record: AlarmRecord, change: Change): AlarmRecord {
  const from = change.before.timers.findIndex((timer) => timer.isOn);
  const to = record.timers.findIndex((timer) => timer.isOn);
  if (from === to) return record;
  if (to === -1) return cleared(plan, record, change);
  const level = plan.conditions[to];
  const sinceMs = change.before.timers[to]?.sinceMs ?? change.timeMs;
  if (level === undefined) return record;
  if (from === -1) return raised(plan, record, { ...change, level, sinceMs });
  const isEasing = to > from && plan.conditions[from]?.direction === level.direction;
  return isEasing
    ? eased(plan, record, { ...change, level })
    : worsened(plan, record, { ...change, level, sinceMs });
}

function raised(
  plan: AlarmPlan,
  record: AlarmRecord,
  change: Change & { readonly level: ConditionPlan; readonly sinceMs: number },
): AlarmRecord {
  const told = { ...record.told, ...toldOfLevel(plan, record, change.level), ...toldAtRaise(change.sinceMs) };
  if (!plan.isStop) return happened(plan, record, { ...change, event: 'raise', by: null, told });
  change.work.stops.push({ slot: plan.slot, timeMs: change.sinceMs });
  return { ...record, told, isUnsettled: true };
}

function worsened(
  plan: AlarmPlan,
  record: AlarmRecord,
  change: Change & { readonly level: ConditionPlan; readonly sinceMs: number },
): AlarmRecord {
  const told = { ...toldOfLevel(plan, record, change.level), ...toldAtRaise(change.sinceMs) };
  const after = happened(plan, record, { ...change, event: 'worsen', by: null, told });
  return withShift(plan, after, { ...change, before: record });
}

function eased(plan: AlarmPlan, record: AlarmRecord, change: Change & { level: ConditionPlan }): AlarmRecord {
  const after = { ...record, told: { ...record.told, ...toldOfLevel(plan, record, change.level) } };
  return withShift(plan, after, { ...change, before: record });
}

/** From one limit to another in the same shown state is a line in the journal too. */
function withShift(plan: AlarmPlan, record: AlarmRecord, { before, timeMs, work }: Change): AlarmRecord {
  const [from, to] = [alarmStateOf(before.life), alarmStateOf(record.life)];
  if (from === to) journal({ plan, record, from, to, timeMs, by: null }, work);
  return record;
}

function cleared(plan: AlarmPlan, record: AlarmRecord, { before, timeMs, work }: Change): AlarmRecord {
  const wasOn = before.timers.find((timer) => timer.isOn);
  const told = { clearedMs: wasOn?.sinceMs ?? timeMs };
  if (record.isUnsettled) return { ...record, told: { ...record.told, ...told } };
  const at = { ...record, told: { ...record.told, ...told } };
  if (plan.isStop) return clearedStop(plan, at, { timeMs, work });
  const after = happened(plan, at, { event: 'clear', timeMs, by: null, work });
  return after.told.shelved?.isOneShot === true ? unshelved(plan, after, { timeMs, by: null, work }) : after;
}

function toldAtRaise(raisedMs: number) {
  return { raisedMs, clearedMs: null, acknowledged: null, consequences: [], candidates: [] };
}

function toldOfLevel(plan: AlarmPlan, record: AlarmRecord, level: ConditionPlan) {
  return { code: level.code, priority: level.priority, params: paramsOfAlarm(plan, record, level) };
}
