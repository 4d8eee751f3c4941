import type { AlarmParameter } from '../contract/alarm-message.ts';
import type { AlarmRule } from '../contract/alarm-rule.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import type { ConditionPlan } from './conditions-of-rule.ts';
import { edgeOf } from './judge-rule.ts';
import { recentChange } from './recent-change.ts';
import type { RuleMemory } from './rule-memory.ts';
import type { Sample } from './sample.ts';

type RuleOf<Kind extends AlarmRule['kind']> = Extract<AlarmRule, { kind: Kind }>;
type Params = Record<string, AlarmParameter>;

/** What an alarm says beside its code: its value, and what the value was held against. */
export function paramsOfAlarm(plan: AlarmPlan, record: AlarmRecord, level: ConditionPlan): Params {
  const { rule } = plan;
  const { sample } = record;
  if (sample === null) return {};
  if (rule.kind === 'quality') return sample.because === null ? {} : { because: sample.because };
  if (!('unit' in rule) || sample.value === null) return {};
  const value = { value: sample.value, unit: rule.unit };
  switch (rule.kind) {
    case 'change':
      return changeParams(rule, record.memory, level);
    case 'drift':
      return { value, ...centerParams(rule, record.memory) };
    default:
      return { value, ...heldAgainst(plan, sample, level) };
  }
}

function heldAgainst(plan: AlarmPlan, sample: Sample, level: ConditionPlan): Params {
  const unit = 'unit' in plan.rule ? plan.rule.unit : '1';
  const target = sample.band?.target ?? null;
  if (level.code.endsWith('-target') && target !== null) return { target: { value: target, unit } };
  const edge = edgeOf(plan, level, sample);
  return edge === null ? {} : { limit: { value: edge.limit, unit } };
}

function changeParams(rule: RuleOf<'change'>, memory: RuleMemory | null, level: ConditionPlan): Params {
  const { unit } = rule;
  const change = memory?.kind === 'recent' ? recentChange(memory.values) : null;
  return {
    value: { value: change ?? 0, unit },
    limit: { value: level.edge?.limit ?? 0, unit },
    within: { value: rule.withinMs / 1000, unit: 's' },
  };
}

function centerParams({ unit }: RuleOf<'drift'>, memory: RuleMemory | null): Params {
  const isWatching = memory?.kind === 'chart' && memory.chart.phase === 'watching';
  return isWatching ? { target: { value: memory.chart.center, unit } } : {};
}
