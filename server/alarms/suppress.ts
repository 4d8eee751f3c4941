import { passed, withDue } from './advance-alarm.ts';
import type { SuppressionPlan } from './alarm-setup.ts';
import type { AlarmTick } from './alarm-tick.ts';
import { happened, releasedUnlessSuppressed } from './alarm-work.ts';
import { completed } from './delay-timer.ts';
import { premiseAfter } from './premise.ts';
import type { Sample } from './sample.ts';

/**
 * Suppression by design: while the plant is in a state where some alarms mean nothing, they are withheld together.
 *
 *     premise of the suppression believed -> its rules are suppressed; no longer believed -> they speak again
 *
 * Each rule that is withheld is shown as suppressed by design, whether or not its condition is there.
 */
export function hearSuppressions(tick: AlarmTick, subject: string, sample: Sample): void {
  tick.setup.suppressions.forEach((plan, at) => {
    plan.premise.terms.forEach((term, index) => {
      if (term.subject !== subject) return;
      passSuppression(tick, at, sample.timeMs);
      const state = tick.suppressions[at];
      if (state === undefined) return;
      tick.suppressions[at] = premiseAfter(plan.premise, state, { term: index, sample });
      passSuppression(tick, at, sample.timeMs);
    });
  });
}

/** Lets the delays of all suppressions run out that are due by `untilMs`. */
export function passSuppressions(tick: AlarmTick, untilMs: number): void {
  tick.suppressions.forEach((_, at) => passSuppression(tick, at, untilMs));
}

function passSuppression(tick: AlarmTick, at: number, untilMs: number): void {
  const state = tick.suppressions[at];
  const plan = tick.setup.suppressions[at];
  if (state === undefined || plan === undefined || state.timer.dueMs > untilMs) return;
  const timeMs = state.timer.dueMs;
  const timer = completed(state.timer);
  tick.suppressions[at] = { ...state, timer };
  for (const slot of plan.slots) turn(tick, slot, { plan, isOn: timer.isOn, timeMs });
}

interface Turn {
  readonly plan: SuppressionPlan;
  readonly isOn: boolean;
  readonly timeMs: number;
}

function turn(tick: AlarmTick, slot: number, { plan, isOn, timeMs }: Turn): void {
  const rule = tick.setup.plans[slot];
  const found = tick.records[slot];
  if (rule === undefined || found === undefined) return;
  const record = passed(rule, found, { untilMs: timeMs, work: tick.work });
  const others = record.told.suppressedBy.filter((id) => id !== plan.id);
  const suppressedBy = isOn ? [...others, plan.id] : others;
  const named = { ...record, told: { ...record.told, suppressedBy } };
  const how = { timeMs, work: tick.work };
  const after = isOn
    ? happened(rule, named, { ...how, event: 'suppress', by: null })
    : releasedUnlessSuppressed(rule, named, { ...how, told: {} });
  tick.records[slot] = withDue(after);
}
