import type { AlarmRule, AlarmTerm } from '../contract/alarm-rule.ts';
import type { Delays } from './delay-timer.ts';
import { conditionsOfRule, type ConditionPlan, type PriorityOf } from './conditions-of-rule.ts';
import { premisePlan, type PremisePlan } from './premise.ts';

/** A rule made ready to run. Its conditions stand most severe first; the first that is on is what the alarm says. */
export interface AlarmPlan {
  /** Its place in the set-up; states are kept in arrays by slot. */
  readonly slot: number;
  readonly rule: AlarmRule;
  /** What the alarm is shown to be about. */
  readonly subject: string;
  readonly conditions: readonly ConditionPlan[];
  readonly delays: Delays;
  readonly armed: PremisePlan | null;
  /** Terms of a rule of kind `condition`; none for the others. */
  readonly when: readonly AlarmTerm[];
  readonly isLatching: boolean;
  /** Whether its raising is a stop, or a cause of stops, that is first put in order with the others of its line. */
  readonly isStop: boolean;
}

interface Surroundings {
  readonly slot: number;
  readonly priorityOf: PriorityOf;
  /** Whether stops of the rule's line are put in order. */
  readonly ordersStops: boolean;
}

export function alarmPlan(rule: AlarmRule, { slot, priorityOf, ordersStops }: Surroundings): AlarmPlan {
  return {
    slot,
    rule,
    subject: subjectOf(rule),
    conditions: conditionsOfRule(rule, priorityOf),
    delays: { onDelayMs: rule.onDelayMs ?? 0, offDelayMs: rule.offDelayMs ?? 0 },
    armed: rule.armed === undefined ? null : premisePlan(rule.armed),
    when: rule.kind === 'condition' ? rule.when : [],
    isLatching: rule.isLatching ?? false,
    isStop: ordersStops && isStopRule(rule),
  };
}

function isStopRule(rule: AlarmRule): boolean {
  return rule.kind === 'run-contact' || (rule.kind === 'condition' && rule.takes !== undefined);
}

function subjectOf(rule: AlarmRule): string {
  return rule.kind === 'condition' ? (rule.when[0]?.subject ?? rule.id) : rule.subject;
}
