import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import type { AlarmTick } from './alarm-tick.ts';
import type { Stop } from './alarm-work.ts';
import { firstMsOf, knowledgeOf, lastMsOf, withStop, type Cascade } from './cascade.ts';
import { firstStop } from './first-stop.ts';
import { sampleOfReading } from './sample.ts';
import type { StopGraph } from './stop-graph.ts';
import { suspectsBehind } from './suspects-behind.ts';
import { grouped, released, spoken } from './tell-stop.ts';

/**
 * Puts the stops of a line under the one that came first.
 *
 *     stop seen --joins or starts a cascade--> undecided --resolution over--> decided --all run again--> gone
 *                                                            ^  |
 *                                                            +--+ a further stop joins: decided anew
 *
 * A cascade waits for the resolution before it speaks, because until then a stop that was earlier may still be
 * on its way; so the alarm names the right machine once instead of a wrong one first.
 */
export function settledCascades(
  tick: AlarmTick,
  graph: StopGraph,
  cascades: readonly Cascade[],
): readonly Cascade[] {
  const stops = tick.work.stops.filter(({ slot }) => graph.slots.has(slot));
  if (stops.length === 0 && cascades.length === 0) return cascades;
  const joined = [...stops]
    .sort((a, b) => a.timeMs - b.timeMs)
    .reduce<readonly Cascade[]>((so, stop) => withStop(so, stop, graph), cascades);
  return joined
    .map((cascade) =>
      isToBeDecided(cascade, tick, { graph, cascades }) ? decided(tick, graph, cascade) : cascade,
    )
    .map((cascade) => withoutAbandoned(tick, graph, cascade))
    .filter((cascade) => !isGone(tick, graph, cascade));
}

function isToBeDecided(
  cascade: Cascade,
  tick: AlarmTick,
  known: { readonly graph: StopGraph; readonly cascades: readonly Cascade[] },
): boolean {
  if (cascade.headSlot !== null) return !known.cascades.includes(cascade);
  return tick.endMs >= firstMsOf(cascade) + known.graph.settings.resolutionMs;
}

function decided(tick: AlarmTick, graph: StopGraph, cascade: Cascade): Cascade {
  const verdict = verdictOn(tick, graph, cascade);
  const head = planOf(tick, verdict.head.slot);
  if (head === null) return cascade;
  const followers = cascade.stops.filter((stop) => !verdict.heads.includes(stop));
  const machineOf = (stop: Stop) => planOf(tick, stop.slot)?.rule.machine ?? null;
  update(tick, head, (record) =>
    spoken(head, record, {
      work: tick.work,
      basis: verdict.basis,
      candidates: verdict.candidates,
      consequences: consequencesOf(followers, verdict.head, machineOf),
    }),
  );
  for (const stop of cascade.stops) {
    const plan = planOf(tick, stop.slot);
    if (plan === null || plan === head) continue;
    const delayMs = stop.timeMs - verdict.head.timeMs;
    update(tick, plan, (record) => grouped(plan, record, { work: tick.work, head, delayMs }));
  }
  return { ...cascade, headSlot: head.slot };
}

interface CascadeVerdict {
  readonly head: Stop;
  /** All stops that may have come first, among those seen. */
  readonly heads: readonly Stop[];
  /** Machines, seen or not, of which one stopped first; none when it is certain. */
  readonly candidates: readonly string[];
  readonly basis: 'times' | 'interlocks' | 'latch';
}

/** The controller's own latch knows best; after it, times and interlocks. */
function verdictOn(tick: AlarmTick, graph: StopGraph, cascade: Cascade): CascadeVerdict {
  const latched = latchedStop(tick, graph, cascade);
  if (latched !== undefined) return { head: latched, heads: [latched], candidates: [], basis: 'latch' };

  const { heads, basis } = firstStop(cascade.stops, knowledgeOf(graph));
  const [head = { slot: -1, timeMs: 0 }] = heads;
  const suspects = heads.length === 1 ? suspectsBehind(tick, graph, { head, cascade }) : [];
  const seen = heads.map(
    (stop) => planOf(tick, stop.slot)?.rule.machine ?? planOf(tick, stop.slot)?.rule.id ?? '',
  );
  const candidates = [...new Set([...seen, ...suspects])];
  return { head, heads, candidates: candidates.length > 1 ? candidates : [], basis };
}

/** A latch speaks of this cascade only when it names one of its stops. */
function latchedStop(tick: AlarmTick, graph: StopGraph, cascade: Cascade): Stop | undefined {
  const reading = graph.settings.latch === undefined ? undefined : tick.latest.get(graph.settings.latch.tag);
  const value = reading === undefined ? null : sampleOfReading(reading).value;
  const slot = value === null ? undefined : graph.slotOfLatch.get(value);
  return cascade.stops.find((stop) => stop.slot === slot);
}

function consequencesOf(followers: readonly Stop[], head: Stop, machineOf: (stop: Stop) => string | null) {
  const delays = new Map<string, number>();
  for (const stop of [...followers].sort((a, b) => a.timeMs - b.timeMs)) {
    const machine = machineOf(stop);
    if (machine !== null && !delays.has(machine)) delays.set(machine, stop.timeMs - head.timeMs);
  }
  return [...delays].map(([machine, delayMs]) => ({ machine, delayMs }));
}

/** A machine that still stands a while after its cause has gone is nobody's consequence any more. */
function withoutAbandoned(tick: AlarmTick, graph: StopGraph, cascade: Cascade): Cascade {
  const { headSlot } = cascade;
  const head = headSlot === null ? undefined : tick.records[headSlot];
  if (headSlot === null || head === undefined || isStanding(head)) return cascade;
  const sinceMs = (head.told.clearedMs ?? lastMsOf(cascade)) + graph.settings.graceMs;
  if (tick.endMs < sinceMs) return cascade;
  for (const { slot } of cascade.stops) {
    const plan = planOf(tick, slot);
    if (plan === null || slot === headSlot) continue;
    update(tick, plan, (record) =>
      record.underSlot === headSlot ? released(plan, record, { timeMs: sinceMs, work: tick.work }) : record,
    );
  }
  return { ...cascade, stops: cascade.stops.filter(({ slot }) => slot === headSlot) };
}

/** When all run again and nothing can join any more. */
function isGone(tick: AlarmTick, graph: StopGraph, cascade: Cascade): boolean {
  if (cascade.headSlot === null || tick.endMs <= lastMsOf(cascade) + graph.settings.gapMsMax) return false;
  return cascade.stops.every(({ slot }) => {
    const record = tick.records[slot];
    return record === undefined || !isStanding(record);
  });
}

function isStanding(record: AlarmRecord): boolean {
  return record.timers.some((timer) => timer.isOn);
}

function planOf(tick: AlarmTick, slot: number): AlarmPlan | null {
  return tick.setup.plans[slot] ?? null;
}

function update(tick: AlarmTick, plan: AlarmPlan, change: (record: AlarmRecord) => AlarmRecord): void {
  const record = tick.records[plan.slot];
  if (record !== undefined) tick.records[plan.slot] = change(record);
}
