import type { AlarmPlan } from './alarm-plan.ts';
import { chartAfter, chartAtRest, driftReach, NEW_CHART, type DriftChart } from './drift-chart.ts';
import { recentChange, withRecent, type RecentValues } from './recent-change.ts';
import type { Sample } from './sample.ts';

/** What a rule must remember beyond the last sample. */
export type RuleMemory =
  | { readonly kind: 'recent'; readonly values: RecentValues }
  | { readonly kind: 'chart'; readonly chart: DriftChart };

/** Null for rules that judge each sample by itself. */
export function memoryAtStart({ rule }: AlarmPlan): RuleMemory | null {
  if (rule.kind === 'change') return { kind: 'recent', values: [] };
  return rule.kind === 'drift' ? { kind: 'chart', chart: NEW_CHART } : null;
}

/** A sample that says nothing leaves a hole in the memory; one that is taken unarmed is not remembered. */
export function memoryAfter(
  { rule }: AlarmPlan,
  memory: RuleMemory | null,
  said: { readonly sample: Sample; readonly isArmed: boolean },
): RuleMemory | null {
  const { value, timeMs, band } = said.sample;
  if (memory === null || value === null) return memory;
  if (memory.kind === 'recent') {
    const withinMs = rule.kind === 'change' ? rule.withinMs : 0;
    return {
      kind: 'recent',
      values: said.isArmed ? withRecent(memory.values, { timeMs, value }, withinMs) : [],
    };
  }
  if (rule.kind !== 'drift' || !said.isArmed) return memory;
  return { kind: 'chart', chart: chartAfter(memory.chart, { timeMs, value, target: targetOf(band) }, rule) };
}

/** What is left of the memory when its rule is no longer armed: what it has learned, not how far it had gone. */
export function memoryAtRest(memory: RuleMemory | null): RuleMemory | null {
  return memory?.kind === 'chart' ? { kind: 'chart', chart: chartAtRest(memory.chart) } : memory;
}

function targetOf(band: Sample['band']): number | null {
  return band === null ? null : band.target;
}

/** The number that a condition holds against its edge, from the sample and what is remembered; null: not known. */
export function measuredBy(
  { rule }: AlarmPlan,
  at: { readonly sample: Sample; readonly memory: RuleMemory | null; readonly isBelow: boolean },
): number | null {
  const { sample, memory } = at;
  if (memory === null || sample.value === null) return sample.value;
  if (memory.kind === 'recent') return recentChange(memory.values);
  const reach = rule.kind === 'drift' ? driftReach(memory.chart, rule) : null;
  if (reach === null) return null;
  return at.isBelow ? -reach.down : reach.up;
}
