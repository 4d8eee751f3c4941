import type { AlarmRule, FirstStopSettings } from '#server/contract/alarm-rule.ts';
import type { LineGraph, MachineKind } from '#server/contract/line-graph.ts';
import { stopRule } from './rules.ts';

/** The two trains of Quillmarsh Station, each in the order the seed takes; the clean bin lies between them. */
export const CLEANING = [
  'intake',
  'elevator-1',
  'scalper',
  'air-screen',
  'aspirator',
  'length-grader',
  'sizer',
  'elevator-2',
  'destoner',
  'gravity-table',
] as const;
export const TREATING = ['elevator-3', 'treater', 'dryer', 'bagger'] as const;
const ORDER = [...CLEANING, 'clean-bin', ...TREATING];

/** The line as a graph: one chain, with a bin in it; only the main streams matter here. */
export function chainGraph(unmeasured: readonly string[] = []): LineGraph {
  return {
    id: 'a',
    name: 'Line A',
    machines: ORDER.map((id) => ({
      id,
      name: id,
      kind: kindOf(id),
      runningTag: id === 'clean-bin' || unmeasured.includes(id) ? null : `a.${id}.running`,
      bypassedTag: null,
      motorCurrentTag: null,
      tags: [],
    })),
    streams: ORDER.map((from, at) => ({
      id: `${from}-out`,
      name: 'seed',
      role: 'main',
      from,
      to: ORDER[at + 1] ?? null,
      massFlowTag: null,
      massTotalTag: null,
      volumeFlowTag: null,
      transportMs: 10_000,
    })),
  };
}

/** A stop rule for every machine, and for the fan of the destoner, which takes it with it. */
export function stopRules(unmeasured: readonly string[] = []): readonly AlarmRule[] {
  const machines = [...CLEANING, ...TREATING].filter((machine) => !unmeasured.includes(machine));
  const fan = stopRule('destoner', {
    id: 'a.destoner.fan-stopped',
    subject: 'a.destoner.fan-running',
    takes: ['a.destoner.stopped'],
  });
  return [...machines.map((machine) => stopRule(machine)), fan];
}

export function settings(more: Partial<FirstStopSettings> = {}): FirstStopSettings {
  return { line: 'a', resolutionMs: 40, gapMsMax: 5000, graceMs: 300_000, ...more };
}

function kindOf(id: string): MachineKind {
  if (id === 'clean-bin') return 'bin';
  return id.startsWith('elevator') ? 'elevator' : 'conveyor';
}
