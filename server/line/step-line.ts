import type { FigureMessage } from '../contract/figure-message.ts';
import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';
import type { Lot } from '../contract/records.ts';
import { unknownEstimate, type Estimate } from './estimate.ts';
import type { FigurePlan } from './figure-plans.ts';
import { emptyTrack, withoutBefore, withPast, withReading, type FlowTrack } from './flow-track.ts';
import type { LineContext } from './line-context.ts';
import type { LineSetup } from './line-setup.ts';

export interface LineState {
  readonly tracks: ReadonlyMap<string, FlowTrack>;
}

export interface LineInput {
  readonly frame: Frame;
  readonly lostEndpoints: ReadonlySet<string>;
  /** The lot that runs on this line, or null. */
  readonly lot: Lot | null;
}

export interface LineStep {
  readonly state: LineState;
  readonly figures: readonly FigureMessage[];
  /** Computations that threw: bugs, for the log. Their figures are unknown, the others stand. */
  readonly faults: readonly { readonly figure: string; readonly error: unknown }[];
}

export const NEW_LINE: LineState = { tracks: new Map() };

/** One tick of one line: its readings become figures, each known or unknown because. */
export function stepLine(setup: LineSetup, before: LineState, input: LineInput): LineStep {
  const tracks = tracksWith(setup, before.tracks, input.frame);
  const context: LineContext = {
    setup,
    frame: input.frame,
    tracks,
    lostEndpoints: input.lostEndpoints,
    bushelMassKg: bushelMassKg(setup, input.lot),
  };
  const faults: { figure: string; error: unknown }[] = [];
  const figures = setup.plans.map((plan) => {
    try {
      return message(context, plan, plan.work(context));
    } catch (error) {
      faults.push({ figure: plan.description.id, error });
      return message(context, plan, unknownEstimate('fault'));
    }
  });
  return { state: { tracks }, figures, faults };
}

/** The line as if these readings of the past had come in time: what looks back through the line finds them. */
export function withPastReadings(
  setup: LineSetup,
  state: LineState,
  readings: readonly Reading[],
): LineState {
  const tracks = new Map(state.tracks);
  for (const [tag, { interpolation }] of setup.tracked) {
    const own = readings.filter((reading) => reading.tag === tag);
    if (own.length === 0) continue;
    const before = tracks.get(tag) ?? emptyTrack(interpolation === 'step');
    tracks.set(tag, withPast(before, own, setup.settings.bridgedGapMsMax));
  }
  return { tracks };
}

function tracksWith(setup: LineSetup, before: ReadonlyMap<string, FlowTrack>, frame: Frame) {
  const readings = frame.readings.filter(({ tag }) => setup.tracked.has(tag));
  if (readings.length === 0) return before;
  const tracks = new Map(before);
  for (const reading of readings) tracks.set(reading.tag, trackWith(setup, tracks.get(reading.tag), reading));
  return tracks;
}

function trackWith(setup: LineSetup, before: FlowTrack | undefined, reading: Reading): FlowTrack {
  const isStep = setup.tracked.get(reading.tag)?.interpolation === 'step';
  const kept = withoutBefore(before ?? emptyTrack(isStep), reading.sourceTimeMs - setup.horizonMs);
  return withReading(kept, reading, setup.settings.bridgedGapMsMax);
}

function bushelMassKg(setup: LineSetup, lot: Lot | null): number {
  const crop = lot?.crop ?? setup.settings.defaultCrop;
  const found = setup.crops.find(({ id }) => id === crop);
  if (found === undefined)
    throw new RangeError(`FIGURE_INPUT lot.crop: got ${crop}, expected a configured crop`);
  return found.bushelMassKg;
}

function message(context: LineContext, plan: FigurePlan, estimate: Estimate): FigureMessage {
  const { id } = plan.description;
  const common = {
    id,
    timeMs: context.frame.endMs,
    uncertainty: null,
    band: context.setup.settings.bands[id] ?? null,
  };
  if (!estimate.known) {
    return { ...common, value: null, because: estimate.because, quality: 'bad', coveredRatio: null };
  }
  const { value, quality, coveredRatio } = estimate;
  return { ...common, value, because: null, quality, coveredRatio };
}
