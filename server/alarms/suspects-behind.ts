import type { AlarmTick } from './alarm-tick.ts';
import type { Stop } from './alarm-work.ts';
import { has, type Cascade } from './cascade.ts';
import { isContactOn } from './premise.ts';
import type { StopGraph } from './stop-graph.ts';

/**
 * Machines that may have stopped before the head of a cascade without our seeing it: those it gives its seed to
 * whose contact is not measured or says nothing now. One that is known to run ends the search; one that stood
 * before takes nothing with it, and what lies behind it is asked instead.
 */
export function suspectsBehind(
  tick: AlarmTick,
  graph: StopGraph,
  found: { readonly head: Stop; readonly cascade: Cascade },
): readonly string[] {
  const machine = machineDrivenBy(tick, graph, found.head.slot);
  const seen = new Set<string>();
  const suspects: string[] = [];
  const waiting = machine === null ? [] : [...takersOf(graph, machine)];
  for (const taker of waiting) {
    if (seen.has(taker) || graph.bins.has(taker)) continue;
    seen.add(taker);
    const standing = standingOf(tick, graph, { machine: taker, cascade: found.cascade });
    if (standing === 'running') continue;
    if (standing === 'unseen') suspects.push(taker);
    waiting.push(...takersOf(graph, taker));
  }
  return suspects;
}

/** Null for what is no machine's own drive, such as a fan or an emergency stop. */
function machineDrivenBy(tick: AlarmTick, graph: StopGraph, slot: number): string | null {
  const machine = tick.setup.plans[slot]?.rule.machine ?? null;
  return machine !== null && graph.driveOf.get(machine) === slot ? machine : null;
}

function takersOf(graph: StopGraph, machine: string): readonly string[] {
  return graph.takersOf.get(machine) ?? [];
}

function standingOf(
  tick: AlarmTick,
  graph: StopGraph,
  at: { readonly machine: string; readonly cascade: Cascade },
): 'running' | 'stopped' | 'unseen' {
  const slot = graph.driveOf.get(at.machine);
  if (slot === undefined) return 'unseen';
  if (has(at.cascade, slot)) return 'stopped';
  const value = tick.records[slot]?.sample?.value ?? null;
  if (value === null) return 'unseen';
  return isContactOn(value) ? 'running' : 'stopped';
}
