import type { Frame } from '../contract/frame.ts';
import type { Stream } from '../contract/line-graph.ts';
import { unknownEstimate, type Estimate } from './estimate.ts';
import type { FlowTrack } from './flow-track.ts';
import type { LineSetup } from './line-setup.ts';
import { rateEstimate } from './rate-estimate.ts';

/** All that a figure may ask of one instant. */
export interface LineContext {
  readonly setup: LineSetup;
  readonly frame: Frame;
  readonly tracks: ReadonlyMap<string, FlowTrack>;
  readonly lostEndpoints: ReadonlySet<string>;
  readonly bushelMassKg: number;
}

/** A window that ended `agoMs` before the frame did. */
export interface PastWindow {
  readonly lengthMs: number;
  readonly agoMs: number;
}

/** A zero that drifts by less than this share of the feed floor is a scale's zero, not a flow backwards. */
const ZERO_BAND_OF_FLOOR = 0.2;

/** The mean rate of a tag over a past window, or the plainest reason why it cannot be known now. */
export function rateOf(context: LineContext, tag: string | null, window: PastWindow): Estimate {
  if (tag === null) return unknownEstimate('not-measured');
  const description = context.setup.tracked.get(tag);
  if (description === undefined) return unknownEstimate('not-measured');
  if (isLost(context, tag)) return unknownEstimate('link-down');

  const { endMs, latest } = context.frame;
  const newest = latest.get(tag);
  if (newest === undefined) return unknownEstimate('waiting-for-first-reading');
  if (newest.quality === 'bad') return unknownEstimate('tag-bad');
  if (endMs - newest.sourceTimeMs > description.staleAfterMs) return unknownEstimate('tag-stale');

  const toMs = endMs - window.agoMs;
  const { settings } = context.setup;
  return rateEstimate(
    context.tracks.get(tag),
    { fromMs: toMs - window.lengthMs, toMs },
    {
      heldMs: description.staleAfterMs,
      coveredRatioMin: settings.coveredRatioMin,
      zeroBand: settings.feedKgPerHFloor * ZERO_BAND_OF_FLOOR,
    },
  );
}

/** True while the gate sends seed past this machine. */
export function isBypassed(context: LineContext, machine: string | null): boolean {
  const tag = context.setup.graph.machines.find(({ id }) => id === machine)?.bypassedTag ?? null;
  return tag !== null && context.frame.latest.get(tag)?.value === 1;
}

/** How long seed takes from the end of the feed to the end of `path[place]`; a bypassed machine takes no time. */
export function wayMs(context: LineContext, place: number): number {
  return context.setup.layout.path
    .slice(1, place + 1)
    .reduce((sum, stream: Stream) => sum + (isBypassed(context, stream.from) ? 0 : stream.transportMs), 0);
}

function isLost(context: LineContext, tag: string): boolean {
  return context.lostEndpoints.has(context.setup.endpointOf.get(tag) ?? '');
}
