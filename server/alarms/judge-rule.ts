import type { UnknownReason } from '../calc/unknown-reason.ts';
import type { AllowedDeviation } from '../contract/alarm-rule.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import type { ConditionPlan, Edge } from './conditions-of-rule.ts';
import type { DelayTimer, Verdict } from './delay-timer.ts';
import { isContactOn, verdictOfAll } from './premise.ts';
import { measuredBy } from './rule-memory.ts';
import type { Sample } from './sample.ts';

/** A drift chart signals at a reach of 1 and is calm again when it has come back by half. */
const DRIFT_EDGE = { limit: 1, deadband: 0.5 };

/** What the record's inputs, as they stand, say of one of the plan's conditions. */
export function verdictOn(plan: AlarmPlan, record: AlarmRecord, condition: number): Verdict {
  const timer = record.timers[condition];
  const conditionPlan = plan.conditions[condition];
  if (timer === undefined || conditionPlan === undefined) return 'clear';
  if (plan.rule.kind === 'run-contact') return verdictOnContact(record, timer);
  if (!isArmed(record)) return 'clear';
  if (plan.rule.kind === 'condition') return verdictOfAll(record.truths);
  if (plan.rule.kind === 'quality') return verdictOnQuality(record.sample);
  return verdictOnNumber(plan, record, { conditionPlan, isOn: timer.isOn });
}

/** An unarmed rule asks no question, so its condition is not there. */
export function isArmed(record: AlarmRecord): boolean {
  return record.armed?.timer.isOn ?? true;
}

/** Where a condition begins, for the sample at hand. */
export function edgeOf(plan: AlarmPlan, condition: ConditionPlan, sample: Sample): Edge | null {
  if (plan.rule.kind === 'drift')
    return condition.direction === 'below' ? { ...DRIFT_EDGE, limit: -1 } : DRIFT_EDGE;
  if (plan.rule.kind !== 'deviation') return condition.edge;
  return deviationEdge(plan.rule.allowed, condition, sample);
}

function verdictOnNumber(
  plan: AlarmPlan,
  { sample, memory }: AlarmRecord,
  at: { readonly conditionPlan: ConditionPlan; readonly isOn: boolean },
): Verdict {
  if (sample === null) return 'unknown';
  const isBelow = at.conditionPlan.direction === 'below';
  const measured = measuredBy(plan, { sample, memory, isBelow });
  if (measured === null) return 'unknown';
  const edge = edgeOf(plan, at.conditionPlan, sample);
  // Without a lot there is no band and no target, and nothing to deviate from.
  if (edge === null) return 'clear';
  return isBeyond(measured, { ...edge, isOn: at.isOn, isBelow }) ? 'met' : 'clear';
}

/** Reasons that somebody should mend; a line that stands or fills has nothing wrong with its instruments. */
const MENDABLE: readonly (UnknownReason | null)[] = [
  'tag-bad',
  'tag-stale',
  'link-down',
  'fault',
  'inputs-inconsistent',
];

function verdictOnQuality(sample: Sample | null): Verdict {
  if (sample === null) return 'unknown';
  return MENDABLE.includes(sample.because) ? 'met' : 'clear';
}

/**
 * Is the value beyond the limit, or, once it was, not yet back across limit minus deadband?
 *
 *     off: value > limit          on: value >= limit - deadband          (mirrored for low limits)
 *
 * Without a deadband the value must leave as it came: a count that returns to a limit of 0 is back.
 * Source   OPC UA Part 9, 5.8.18 and B.1.5: a limit is exceeded, and normal only after crossing limit less deadband
 *
 * @example limit 80, deadband 5: 81 is beyond, then 76 and 75 still are, 74 is not
 */
function isBeyond(value: number, at: Edge & { readonly isOn: boolean; readonly isBelow: boolean }): boolean {
  const over = at.isBelow ? at.limit - value : value - at.limit;
  return at.isOn && at.deadband > 0 ? over >= -at.deadband : over > 0;
}

function deviationEdge(allowed: AllowedDeviation, { direction }: ConditionPlan, sample: Sample): Edge | null {
  if (sample.band === null) return null;
  const { low, high, target } = sample.band;
  if (allowed.from === 'band') {
    const limit = direction === 'below' ? low : high;
    return limit === null ? null : { limit, deadband: allowed.deadband };
  }
  if (target === null) return null;
  const size = Math.abs(target);
  const [amount, deadband] =
    'amount' in allowed
      ? [allowed.amount, allowed.deadband]
      : [allowed.ratio * size, allowed.deadbandRatio * size];
  return { limit: direction === 'below' ? target - amount : target + amount, deadband };
}

/** A drive that was never seen running has not stopped; one that stopped while unarmed was switched off. */
function verdictOnContact(record: AlarmRecord, timer: DelayTimer): Verdict {
  const value = record.sample?.value ?? null;
  if (value === null) return 'unknown';
  if (isContactOn(value)) return 'clear';
  const isStillOff = timer.isOn || timer.sinceMs !== null;
  return isStillOff || (record.wasOn === true && isArmed(record)) ? 'met' : 'clear';
}
