import { flowBetween, type FlowTrack } from './flow-track.ts';
import type { LagPair } from './lag-pairs.ts';
import { isBypassed, type LineContext } from './line-context.ts';

export const LAG_INTERVAL_MS = 5000;
/** Two hours: long enough for the few changes that a feed makes. */
const INTERVALS = 1440;
const COVERED_RATIO_MIN = 0.5;

/** What of the line is looked at. */
export type LagView = Pick<LineContext, 'setup' | 'frame' | 'tracks'>;

/** Mean flows of equal intervals over the last two hours, for finding lags. */
export interface LagRecord {
  /** End of the last interval; null before the first. */
  readonly endMs: number | null;
  /** Which machines seed goes past: what was seen on another way says nothing of this one. */
  readonly route: string;
  /** By stream id, all of one length. Null: not known, or a machine on the way stood still and held its seed. */
  readonly flows: ReadonlyMap<string, readonly (number | null)[]>;
}

export const NO_LAG_RECORD: LagRecord = { endMs: null, route: '', flows: new Map() };

/** The end of the last interval that is over. */
export function lagIntervalEndMs({ frame }: LagView): number {
  return Math.floor(frame.endMs / LAG_INTERVAL_MS) * LAG_INTERVAL_MS;
}

/** The record up to the frame's end. */
export function withFrame(before: LagRecord, context: LagView, pairs: readonly LagPair[]): LagRecord {
  const endMs = lagIntervalEndMs(context);
  const route = routeOf(context);
  const missing = before.endMs === null ? 1 : (endMs - before.endMs) / LAG_INTERVAL_MS;
  const isNew = before.route !== route || missing < 1 || missing > INTERVALS;
  const kept = isNew ? NO_LAG_RECORD.flows : before.flows;
  const ends = Array.from({ length: isNew ? 1 : missing }, (_, index) => endMs - index * LAG_INTERVAL_MS);
  const grown = (stream: string, means: readonly (number | null)[]) =>
    [...(kept.get(stream) ?? []), ...means].slice(-INTERVALS);

  const flows = new Map<string, readonly (number | null)[]>();
  for (const { stream, from, between } of pairs) {
    const stands = between.some((part) => isStanding(context, part.from));
    const meanAt = (tag: string | null) => ends.map((end) => meanOf(context, tag, end)).toReversed();
    flows.set(stream.id, grown(stream.id, stands ? ends.map(() => null) : meanAt(stream.massFlowTag)));
    if (!flows.has(from.id)) flows.set(from.id, grown(from.id, meanAt(from.massFlowTag)));
  }
  return { endMs, route, flows };
}

function meanOf(context: LagView, tag: string | null, endMs: number): number | null {
  const track: FlowTrack | undefined = context.tracks.get(tag ?? '');
  if (track === undefined) return null;
  const heldMs = context.setup.tracked.get(tag ?? '')?.staleAfterMs ?? 0;
  const stretch = flowBetween(track, endMs - LAG_INTERVAL_MS, { toMs: endMs, heldMs });
  return stretch.coveredMs < COVERED_RATIO_MIN * LAG_INTERVAL_MS ? null : stretch.total / stretch.coveredMs;
}

function isStanding(context: LagView, machine: string | null): boolean {
  if (isBypassed(context, machine)) return false;
  const tag = context.setup.graph.machines.find(({ id }) => id === machine)?.runningTag ?? null;
  return tag !== null && context.frame.latest.get(tag)?.value === 0;
}

function routeOf(context: LagView): string {
  const { machines } = context.setup.graph;
  return machines
    .filter(({ id }) => isBypassed(context, id))
    .map(({ id }) => id)
    .join(' ');
}
