import type { BalanceReport } from '../contract/balance-report.ts';
import type { Frame } from '../contract/frame.ts';
import type { ProvenanceInput } from '../contract/figure-provenance.ts';
import type { Crop } from '../contract/plant-description.ts';
import type { HandSample, Lot, Mark, Shift } from '../contract/records.ts';
import type { AnchorBook } from './anchors.ts';
import type { DoseSpread } from './dose-spread.ts';
import type { Estimate } from './estimate.ts';
import type { FlowTrack } from './flow-track.ts';
import type { LineSetup } from './line-setup.ts';
import type { TankTrack } from './tank-track.ts';

/** All that a figure may ask of one instant. */
export interface LineContext {
  readonly setup: LineSetup;
  readonly frame: Frame;
  readonly tracks: ReadonlyMap<string, FlowTrack>;
  readonly tanks: ReadonlyMap<string, TankTrack>;
  readonly anchors: AnchorBook;
  readonly lostEndpoints: ReadonlySet<string>;
  readonly bushelMassKg: number;
  readonly lot: Lot | null;
  readonly shift: Shift | null;
  readonly marks: readonly Mark[];
  readonly samples: readonly HandSample[];
  /** Of the lot's crop; null where losses are not shown in money. */
  readonly prices: NonNullable<Crop['prices']> | null;
  readonly doseSpread: DoseSpread | null;
  /** The newest balance of this line; null before the first. */
  readonly balance: BalanceReport | null;
  /** By place on the path: how long seed is moved from the end of the feed to the end of that stream. */
  readonly ways: readonly number[];
  /** By place as well: how long seed lies in the bins before it, as they are filled now. */
  readonly binWays: readonly number[];
  /** Amounts that were worked out in this tick: many figures ask for the same. Not used while somebody asks why. */
  readonly amounts: Map<string, Estimate>;
  /** Hears of every input that is looked up; null while nobody asks why. */
  readonly trace: ((input: ProvenanceInput) => void) | null;
}

/** True while the gate sends seed past this machine. */
export function isBypassed({ setup, frame }: BypassContext, machine: string | null): boolean {
  const tag = machine === null ? undefined : setup.layout.bypassTags.get(machine);
  return tag !== undefined && frame.latest.get(tag)?.value === 1;
}

/** How long seed takes to the end of each stream of the path, without bins; a bypassed machine takes no time. */
export function waysThrough(context: BypassContext): readonly number[] {
  let wayMs = 0;
  return context.setup.layout.path.map((stream, place) => {
    if (place > 0 && !isBypassed(context, stream.from)) wayMs += stream.transportMs;
    return wayMs;
  });
}

/** By how much the way between two places may be wrong: the errors of its streams, independent of each other. */
export function wayErrorMs({ setup }: LineContext, from: number, to: number): number {
  const errors = setup.layout.path.slice(Math.min(from, to) + 1, Math.max(from, to) + 1);
  return Math.sqrt(errors.reduce((sum, { transportErrorMs = 0 }) => sum + transportErrorMs ** 2, 0));
}

/** By how much seed spreads between two places, as a standard deviation: each stretch mixes by itself. */
export function waySpreadMs(context: BypassContext, from: number, to: number): number {
  const parts = context.setup.layout.path.slice(Math.min(from, to) + 1, Math.max(from, to) + 1);
  const variance = parts.reduce(
    (sum, { mixingMs = 0, from: machine }) => sum + (isBypassed(context, machine) ? 0 : mixingMs ** 2),
    0,
  );
  return Math.sqrt(variance);
}

export function isLost({ setup, lostEndpoints }: LineContext, tag: string): boolean {
  return lostEndpoints.size > 0 && lostEndpoints.has(setup.endpointOf.get(tag) ?? '');
}

type BypassContext = Pick<LineContext, 'setup' | 'frame'>;
