import type { AlarmCode, Priority } from '../contract/alarm-message.ts';
import type { AlarmRule } from '../contract/alarm-rule.ts';

/** One thing that an alarm can say. */
export interface ConditionPlan {
  readonly code: AlarmCode;
  /** What to do about it. */
  readonly card: string;
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

/** How urgent what a card describes is. */
export type PriorityOf = (card: string) => Priority;

/** What a rule's alarm can say, most severe first. */
export function conditionsOfRule(rule: AlarmRule, priorityOf: PriorityOf): readonly ConditionPlan[] {
  const { card } = rule;
  const priority = priorityOf(card);
  const twoWays = (above: AlarmCode, below: AlarmCode): readonly ConditionPlan[] => [
    { code: above, card, priority, direction: 'above', edge: null },
    { code: below, card, priority, direction: 'below', edge: null },
  ];
  const single = (code: AlarmCode): readonly ConditionPlan[] => [
    { code, card, priority, direction: null, edge: null },
  ];
  switch (rule.kind) {
    case 'limit':
      return limitConditions(rule, priorityOf);
    case 'deviation':
      return twoWays(`above-${rule.allowed.from}`, `below-${rule.allowed.from}`);
    case 'change':
      return changeConditions(rule, priority);
    case 'drift':
      return twoWays('drift-up', 'drift-down');
    case 'quality':
      return single('bad-quality');
    case 'run-contact':
      return single(rule.code ?? 'machine-stopped');
    case 'condition':
      return single(rule.code);
  }
}

function limitConditions(
  rule: Extract<AlarmRule, { kind: 'limit' }>,
  priorityOf: PriorityOf,
): readonly ConditionPlan[] {
  return [...rule.limits]
    .sort((a, b) => SIDES_BY_SEVERITY.indexOf(a.side) - SIDES_BY_SEVERITY.indexOf(b.side))
    .map(({ side, limit, deadband, card = rule.card }) => ({
      code: side,
      card,
      priority: priorityOf(card),
      direction: side.startsWith('high') ? 'above' : 'below',
      edge: { limit, deadband },
    }));
}

function changeConditions(
  rule: Extract<AlarmRule, { kind: 'change' }>,
  priority: Priority,
): readonly ConditionPlan[] {
  const { card, amount, deadband, direction } = rule;
  const rising: ConditionPlan = {
    code: 'rising-fast',
    card,
    priority,
    direction: 'above',
    edge: { limit: amount, deadband },
  };
  const falling: ConditionPlan = {
    code: 'falling-fast',
    card,
    priority,
    direction: 'below',
    edge: { limit: -amount, deadband },
  };
  if (direction === undefined) return [rising, falling];
  return direction === 'rising' ? [rising] : [falling];
}
