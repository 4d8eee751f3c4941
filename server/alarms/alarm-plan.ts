import type { AlarmCode, Priority } from '../contract/alarm-message.ts';
import type { AlarmRule, AlarmTerm } from '../contract/alarm-rule.ts';
import type { Delays } from './delay-timer.ts';
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

export interface ConditionPlan {
  readonly code: AlarmCode;
  readonly priority: Priority;
  /** Which way is out of bounds; null for what is no number. */
  readonly direction: 'above' | 'below' | null;
  /** For fixed limits. */
  readonly edge: Edge | null;
}

export interface Edge {
  readonly limit: number;
  readonly deadband: number;
}

const SIDES_BY_SEVERITY = ['high-high', 'low-low', 'high', 'low'] as const;

/** @param ordersStops whether stops of the rule's line are put in order */
export function alarmPlan(rule: AlarmRule, slot: number, ordersStops: boolean): AlarmPlan {
  return {
    slot,
    rule,
    subject: subjectOf(rule),
    conditions: conditionsOf(rule),
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

function conditionsOf(rule: AlarmRule): readonly ConditionPlan[] {
  const { priority } = rule;
  switch (rule.kind) {
    case 'limit':
      return [...rule.limits]
        .sort((a, b) => SIDES_BY_SEVERITY.indexOf(a.side) - SIDES_BY_SEVERITY.indexOf(b.side))
        .map((entry) => ({
          code: entry.side,
          priority: entry.priority ?? priority,
          direction: entry.side.startsWith('high') ? 'above' : 'below',
          edge: { limit: entry.limit, deadband: entry.deadband },
        }));
    case 'deviation':
      return [
        { code: `above-${rule.allowed.from}`, priority, direction: 'above', edge: null },
        { code: `below-${rule.allowed.from}`, priority, direction: 'below', edge: null },
      ];
    case 'run-contact':
      return [{ code: rule.code ?? 'machine-stopped', priority, direction: null, edge: null }];
    case 'condition':
      return [{ code: rule.code, priority, direction: null, edge: null }];
  }
}
