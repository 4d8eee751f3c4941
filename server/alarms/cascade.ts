import type { Stop } from './alarm-work.ts';
import { explains, firstStop } from './first-stop.ts';
import type { StopGraph } from './stop-graph.ts';

/** Stops that belong together, and the one under which the others stand. */
export interface Cascade {
  readonly stops: readonly Stop[];
  /** Null until the stops that may have come first can no longer be on their way. */
  readonly headSlot: number | null;
}

export function firstMsOf(cascade: Cascade): number {
  return Math.min(...cascade.stops.map(({ timeMs }) => timeMs));
}

export function lastMsOf(cascade: Cascade): number {
  return Math.max(...cascade.stops.map(({ timeMs }) => timeMs));
}

/** The cascades after one more stop: it joins those it belongs to, which thereby become one, or starts its own. */
export function withStop(cascades: readonly Cascade[], stop: Stop, graph: StopGraph): readonly Cascade[] {
  if (cascades.some((cascade) => cascade.headSlot === null && has(cascade, stop.slot))) return cascades;
  const open = cascades.filter((cascade) => isOpenFor(cascade, stop, graph));
  const led = open.filter((cascade) => isHeadOf(cascade, stop, graph));
  const related = new Set([...led, ...latestCause(open, stop, graph)]);
  const followed =
    related.size > 0 ? [...related] : open.filter((cascade) => isTogether(cascade, stop, graph));
  if (followed.length === 0) return [...cascades, { stops: [stop], headSlot: null }];

  const merged: Cascade = {
    stops: [...followed.flatMap(({ stops }) => stops), stop],
    headSlot: followed.find(({ headSlot }) => headSlot !== null)?.headSlot ?? null,
  };
  return [...cascades.filter((cascade) => !followed.includes(cascade)), merged];
}

/** Whether a rule's stop is one of these. */
export function has(cascade: Cascade, slot: number): boolean {
  return cascade.stops.some((stop) => stop.slot === slot);
}

/** A machine that started again and stopped once more has begun something new. */
function isOpenFor(cascade: Cascade, stop: Stop, { settings }: StopGraph): boolean {
  const reachMs = settings.gapMsMax + settings.resolutionMs;
  return !has(cascade, stop.slot) && Math.abs(stop.timeMs - lastMsOf(cascade)) <= reachMs;
}

/** It explains what nothing explained so far. Explaining a mere follower is chance: that one has its cause already. */
function isHeadOf(cascade: Cascade, stop: Stop, graph: StopGraph): boolean {
  const knowledge = knowledgeOf(graph);
  return firstStop(cascade.stops, knowledge).heads.some((head) => explains(stop, head, knowledge));
}

/** Nothing explains it and nothing tells its time from theirs: a common cause, as far as can be told. */
function isTogether(cascade: Cascade, stop: Stop, { settings }: StopGraph): boolean {
  return Math.abs(stop.timeMs - firstMsOf(cascade)) <= settings.resolutionMs;
}

function latestCause(open: readonly Cascade[], stop: Stop, graph: StopGraph): readonly Cascade[] {
  let found: { cascade: Cascade; timeMs: number } | null = null;
  for (const cascade of open) {
    for (const cause of cascade.stops) {
      if (!explains(cause, stop, knowledgeOf(graph))) continue;
      if (found === null || cause.timeMs > found.timeMs) found = { cascade, timeMs: cause.timeMs };
    }
  }
  return found === null ? [] : [found.cascade];
}

export function knowledgeOf({ takes, settings }: StopGraph) {
  return { takes, resolutionMs: settings.resolutionMs };
}
