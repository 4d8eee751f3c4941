import { catalogue } from './catalogue.ts';
import { openChannels, type Channels } from './instruments/channels.ts';
import type { Quality } from './instruments/instrument.ts';
import { advanceLogic, contactValue, takeChanges, type ContactChange } from './logic/line-logic.ts';
import type { CropName, Settings } from './physics/crops/crop.ts';
import { buildPlant, stepPlant } from './plant.ts';
import type { Plant } from './plant-state.ts';
import type { RunMode } from './routes.ts';
import type { Profile, TagEntry } from './tags/tag-entry.ts';
import { truthOf, type Truth } from './truth/truth.ts';
import type { Upset } from './upsets/upset.ts';
import { beginUpset, createUpsetPlayer, pullLevers, type UpsetPlayer } from './upsets/upset-player.ts';

export interface SimulatedPlantOptions {
  readonly seed: number;
  readonly crop?: CropName;
  readonly profile?: Profile;
  readonly run?: RunMode;
  readonly settings?: Partial<Settings>;
  readonly bypassed?: readonly string[];
  /** Upsets with the instants at which they begin, ms after time zero. */
  readonly upsets?: readonly { readonly upset: Upset; readonly atMs: number }[];
  readonly stepMs?: number;
  /** Run before time zero, so that the line is warm and full when the watching begins. */
  readonly settleMs?: number;
}

export interface SimReading {
  readonly node: string;
  /** Milliseconds since time zero, as the controller stamps it. */
  readonly timeMs: number;
  /** Contacts as 0 and 1. */
  readonly value: number;
  readonly quality: Quality;
}

/** The plant with its instruments, in-process: no clock, no socket; the same seed gives the same numbers. */
export interface SimulatedPlant {
  readonly plant: Plant;
  readonly player: UpsetPlayer;
  readonly tags: readonly TagEntry[];
  readonly channels: Channels;
  readonly tagOf: ReadonlyMap<string, number>;
  readonly stepMs: number;
  /** Milliseconds since time zero, at the end of the last step. */
  timeMs(): number;
  /** How far the controller's clock is ahead of true time, ms. */
  skewMs(): number;
  /** Steps on by `dtMs` (a multiple of the step) and gives all readings of that time, contacts as they changed. */
  step(dtMs: number): readonly SimReading[];
  /** All tags as they stand now; contacts too, which `step` reports only when they change. */
  readings(): readonly SimReading[];
  /** What really flows and what has really failed. The watching side never sees it. */
  truth(): Truth;
}

const USUAL = {
  crop: 'soybean',
  profile: 'full',
  run: 'one-run',
  settings: {},
  stepMs: 1000,
  settleMs: 20 * 60_000,
} as const;

export function simulatedPlant(options: SimulatedPlantOptions): SimulatedPlant {
  const { settleMs, profile, ...rest } = { ...USUAL, ...options };
  const { stepMs } = rest;
  const plant = buildPlant({ ...rest, bypassed: options.bypassed });
  plant.timeMs = -settleMs;
  const tags = catalogue(profile);
  const sim: SimulatedPlant = {
    plant,
    player: createUpsetPlayer(plant.levers, plant.logic),
    tags,
    channels: openChannels(plant, tags),
    tagOf: new Map(tags.map((entry, i) => [entry.node, i] as const)),
    stepMs,
    timeMs: () => plant.timeMs,
    skewMs: () => plant.levers.size('clock-skew'),
    step: (dtMs) => readingsOver(sim, dtMs),
    readings: () => readingsNow(sim),
    truth: () => truthOf(plant),
  };
  for (const { node, value } of readingsNow(sim)) sim.channels.values[sim.tagOf.get(node) ?? 0] = value;
  while (plant.timeMs < 0) stepOnce(sim);
  for (const { upset, atMs } of options.upsets ?? []) beginUpset(sim.player, upset, atMs);
  return sim;
}

/** One step of physics and instruments; the contacts that changed in it and were not yet taken. */
export function stepOnce(sim: SimulatedPlant): readonly ContactChange[] {
  pullLevers(sim.player, sim.plant.timeMs);
  stepPlant(sim.plant);
  sim.channels.readAll();
  return keepContacts(sim);
}

/** Lets the sequence run up to an instant within the coming step; for faces that show contacts at once. */
export function contactsUntil(sim: SimulatedPlant, timeMs: number): readonly ContactChange[] {
  advanceLogic(sim.plant.logic, Math.min(timeMs, sim.plant.timeMs + sim.stepMs));
  return keepContacts(sim);
}

/** All tags as they stand now. */
function readingsNow(sim: SimulatedPlant): readonly SimReading[] {
  const timeMs = sim.timeMs() + sim.skewMs();
  return sim.tags.map((entry, tag) => {
    const isContact = entry.kind === 'contact';
    const value = isContact
      ? Number(contactValue(sim.plant.logic, entry.node))
      : (sim.channels.values[tag] ?? 0);
    return { node: entry.node, timeMs, value, quality: sim.channels.qualityOf(tag) };
  });
}

function keepContacts(sim: SimulatedPlant): readonly ContactChange[] {
  const changes = takeChanges(sim.plant.logic);
  if (changes.length === 0) return changes;
  const known = changes.filter((change) => sim.tagOf.has(change.node));
  for (const { node, value } of known) sim.channels.values[sim.tagOf.get(node) ?? 0] = value ? 1 : 0;
  return known;
}

function readingsOver(sim: SimulatedPlant, dtMs: number): readonly SimReading[] {
  if (dtMs < sim.stepMs || dtMs % sim.stepMs !== 0) {
    throw new RangeError(`step dtMs [ms]: got ${dtMs}, expected a multiple of ${sim.stepMs}`);
  }
  const readings: SimReading[] = [];
  for (let done = 0; done < dtMs; done += sim.stepMs) {
    for (const { node, value, timeMs } of stepOnce(sim)) {
      const quality = sim.channels.qualityOf(sim.tagOf.get(node) ?? 0);
      readings.push({ node, timeMs: timeMs + sim.skewMs(), value: Number(value), quality });
    }
    const timeMs = sim.timeMs() + sim.skewMs();
    sim.tags.forEach((entry, tag) => {
      if (entry.kind === 'contact') return;
      const value = sim.channels.values[tag] ?? 0;
      readings.push({ node: entry.node, timeMs, value, quality: sim.channels.qualityOf(tag) });
    });
  }
  return readings;
}
