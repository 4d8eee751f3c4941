import type { FirstStopSettings } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import type { AlarmPlan } from './alarm-plan.ts';

/** Which stop of a line follows from which, by interlock. Rules are named by their slot. */
export interface StopGraph {
  readonly settings: FirstStopSettings;
  readonly slots: ReadonlySet<number>;
  /** For each rule all whose stop follows from its own, at whatever remove. */
  readonly takes: ReadonlyMap<number, ReadonlySet<number>>;
  /** The machines a machine gives its seed to. */
  readonly takersOf: ReadonlyMap<string, readonly string[]>;
  /** The rule on a machine's own run contact. */
  readonly driveOf: ReadonlyMap<string, number>;
  /** Machines that a stop does not pass: seed goes in and out of them on its own. */
  readonly bins: ReadonlySet<string>;
  readonly slotOfLatch: ReadonlyMap<number, number>;
}

/**
 * The interlocks of a line as its graph and its rules tell them.
 *
 * A machine may not give seed to one that stands, so a stop takes the machines that feed it, one after the other
 * against the flow. A machine whose contact is not measured passes the stop on unseen. A bin ends the chain: what
 * feeds a bin runs on until the bin is full. What no stream shows (fans, dust extraction, emergency stops) stands
 * in the rules' own `takes`.
 */
export function stopGraph(
  plans: readonly AlarmPlan[],
  graph: LineGraph,
  settings: FirstStopSettings,
): StopGraph {
  const ofLine = plans.filter((plan) => plan.rule.line === settings.line && plan.isStop);
  const driveOf = drivesOf(ofLine, graph);
  const direct = new Map(
    ofLine.map((plan) => [plan.slot, [...feedersTaken(plan, graph, driveOf), ...namedIn(plan, ofLine)]]),
  );
  const slotById = new Map(ofLine.map((plan) => [plan.rule.id, plan.slot]));
  const latched = Object.entries(settings.latch?.rules ?? {}).flatMap(([value, id]) => {
    const slot = slotById.get(id);
    return slot === undefined ? [] : [[Number(value), slot] as const];
  });
  return {
    settings,
    slots: new Set(slotById.values()),
    takes: new Map(ofLine.map((plan) => [plan.slot, reachedFrom(plan.slot, direct)])),
    takersOf: neighbours(graph, 'from'),
    driveOf,
    bins: binsOf(graph),
    slotOfLatch: new Map(latched),
  };
}

function drivesOf(plans: readonly AlarmPlan[], graph: LineGraph): ReadonlyMap<string, number> {
  const slotOfTag = new Map(plans.map((plan) => [plan.subject, plan.slot]));
  return new Map(
    graph.machines.flatMap(({ id, runningTag }) => {
      const slot = runningTag === null ? undefined : slotOfTag.get(runningTag);
      return slot === undefined ? [] : [[id, slot] as const];
    }),
  );
}

function feedersTaken(
  plan: AlarmPlan,
  graph: LineGraph,
  driveOf: ReadonlyMap<string, number>,
): readonly number[] {
  const { machine } = plan.rule;
  if (machine === null || driveOf.get(machine) !== plan.slot) return [];
  const feedersOf = neighbours(graph, 'to');
  const bins = binsOf(graph);
  const taken: number[] = [];
  const seen = new Set([machine]);
  const waiting = [...(feedersOf.get(machine) ?? [])];
  for (const feeder of waiting) {
    if (seen.has(feeder) || bins.has(feeder)) continue;
    seen.add(feeder);
    const slot = driveOf.get(feeder);
    if (slot === undefined) waiting.push(...(feedersOf.get(feeder) ?? []));
    else taken.push(slot);
  }
  return taken;
}

function binsOf(graph: LineGraph): ReadonlySet<string> {
  return new Set(graph.machines.filter(({ kind }) => kind === 'bin').map(({ id }) => id));
}

function namedIn({ rule, slot }: AlarmPlan, plans: readonly AlarmPlan[]): readonly number[] {
  const takes = 'takes' in rule ? rule.takes : undefined;
  if (takes === undefined) return [];
  const isTaken = (other: AlarmPlan) =>
    takes === 'line' ? other.rule.kind === 'run-contact' : takes.includes(other.rule.id);
  return plans.filter((other) => other.slot !== slot && isTaken(other)).map((other) => other.slot);
}

/** For each machine the machines at the other end of its main streams. */
function neighbours(graph: LineGraph, end: 'from' | 'to'): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, readonly string[]>();
  for (const stream of graph.streams) {
    const here = stream[end];
    const there = end === 'from' ? stream.to : stream.from;
    if (stream.role !== 'main' || here === null || there === null) continue;
    found.set(here, [...(found.get(here) ?? []), there]);
  }
  return found;
}

function reachedFrom(start: number, direct: ReadonlyMap<number, readonly number[]>): ReadonlySet<number> {
  const reached = new Set<number>();
  const waiting = [...(direct.get(start) ?? [])];
  for (const slot of waiting) {
    if (reached.has(slot) || slot === start) continue;
    reached.add(slot);
    waiting.push(...(direct.get(slot) ?? []));
  }
  return reached;
}
