import type { Frame } from '../contract/frame.ts';
import type { Reading } from '../contract/reading.ts';
import { emptyTrack, withoutBefore, withPast, withReading, type FlowTrack } from './flow-track.ts';
import type { LineSetup } from './line-setup.ts';
import { mostOf } from './most-of.ts';
import { EMPTY_TANK, withWeight, type TankTrack } from './tank-track.ts';

/** A rise by more than this share of a tank scale's range is a refill; a smaller one is noise. */
const REFILL_OF_RANGE = 0.002;
const REFILL_KG = 0.5;
/** A tank is full when it has not risen for this long. */
const SETTLE_MS = 30_000;

/** The tracks with the readings of one frame. */
export function tracksWith(setup: LineSetup, before: ReadonlyMap<string, FlowTrack>, frame: Frame) {
  const readings = frame.readings.filter(({ tag }) => setup.tracked.has(tag));
  if (readings.length === 0) return before;
  const tracks = new Map(before);
  for (const reading of readings) tracks.set(reading.tag, trackWith(setup, tracks.get(reading.tag), reading));
  return tracks;
}

export function tanksWith(setup: LineSetup, before: ReadonlyMap<string, TankTrack>, frame: Frame) {
  const weights = frame.readings.filter(({ tag }) => setup.tanks.has(tag));
  if (weights.length === 0) return before;
  const tanks = new Map(before);
  for (const weight of weights) tanks.set(weight.tag, tankWith(setup, tanks.get(weight.tag), weight));
  return tanks;
}

/** The tracks as if these readings of the past had come in time. Of tanks only what was seen live counts. */
export function withPastTracks(
  setup: LineSetup,
  before: ReadonlyMap<string, FlowTrack>,
  readings: readonly Reading[],
) {
  const tracks = new Map(before);
  const byTag = Map.groupBy(readings, ({ tag }) => tag);
  for (const tag of setup.tracked.keys()) {
    const own = byTag.get(tag) ?? [];
    if (own.length === 0) continue;
    tracks.set(tag, withPast(tracks.get(tag) ?? newTrack(setup, tag), own, setup.settings.bridgedGapMsMax));
  }
  return tracks;
}

function newTrack(setup: LineSetup, tag: string): FlowTrack {
  const isStep = setup.tracked.get(tag)?.interpolation === 'step';
  return emptyTrack(isStep, { counter: setup.counters.get(tag) ?? null, most: mostOf(setup, tag) });
}

function trackWith(setup: LineSetup, before: FlowTrack | undefined, reading: Reading): FlowTrack {
  const kept = withoutBefore(before ?? newTrack(setup, reading.tag), reading.sourceTimeMs - setup.horizonMs);
  return withReading(kept, reading, setup.settings.bridgedGapMsMax);
}

function tankWith(setup: LineSetup, before: TankTrack | undefined, weight: Reading): TankTrack {
  const kept = before ?? EMPTY_TANK;
  const losses = withoutBefore(kept.losses, weight.sourceTimeMs - setup.horizonMs);
  const range = setup.tracked.get(weight.tag)?.rangeHigh ?? 0;
  const noiseKg = Math.max(REFILL_KG, range * REFILL_OF_RANGE);
  const maxGapMs = setup.settings.bridgedGapMsMax;
  const rules = { noiseKg, settleMs: SETTLE_MS, maxGapMs, mostKg: mostOf(setup, weight.tag) };
  return withWeight({ ...kept, losses }, weight, rules);
}
