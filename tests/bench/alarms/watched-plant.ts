import { fileURLToPath } from 'node:url';
import type { AlarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart } from '#server/alarms/alarm-state.ts';
import { loadConfig } from '#server/config/load-config.ts';
import type { PlantConfig } from '#server/config/plant-config.ts';
import type { Quality, Reading } from '#server/contract/reading.ts';
import { lineSetup, type LineSetup } from '#server/line/line-setup.ts';
import { newPlant, stepPlant, type PlantStep } from '#server/pipeline/step-plant.ts';
import { simulatedPlant, type SimReading, type SimulatedPlant } from '#simulator/simulated-plant.ts';
import { readUpsets } from '#simulator/upsets/upset-file.ts';

/** One stretch of the simulated plant's life; it is warm and full when the watch begins. */
export interface Watch {
  readonly seed: number;
  readonly seconds: number;
  readonly upset: UpsetPlan | null;
}

export interface UpsetPlan {
  readonly name: string;
  readonly onsetS: number;
  /** Share of the size in the upset's file. */
  readonly share: number;
}

/** When the watches begin, by the plant's clock. */
export const WATCH_START_MS = Date.UTC(2026, 8, 14, 6);

const CONFIG = fileURLToPath(new URL('../../../config/plant.yaml', import.meta.url));
const QUALITIES = ['good', 'uncertain', 'bad'] as const satisfies readonly Quality[];
/** The plant is stepped once a second, so more frames would hold nothing more; contacts keep their own instants. */
const FRAME_MS = 1000;
const UPSETS = readUpsets();

export function demoConfig(): Promise<PlantConfig> {
  return loadConfig(CONFIG);
}

/** The demonstration's lines, ready to compute its figures. */
function demoLines(config: PlantConfig): readonly LineSetup[] {
  const { crops, tags, addresses, lines, settings } = config;
  const endpointOf = new Map(addresses.map(({ tag, endpoint }) => [tag, endpoint]));
  return lines.flatMap((graph, at) => {
    const own = settings[at];
    return own === undefined ? [] : [lineSetup({ graph, settings: own, crops, tags, endpointOf })];
  });
}

/** Plays a watch through the server's own step, frame by frame: readings, figures, alarms. */
export function* watchedPlant(config: PlantConfig, alarms: AlarmSetup, watch: Watch): Generator<PlantStep> {
  const timing = { ...config, tickMs: FRAME_MS };
  const lines = demoLines(config).map((line) => withNeededFigures(line, alarms.subjects));
  // Over OPC UA a tag that stands still is read again; here it is silent, which must not count against it.
  const setup = { timing, lines, alarms, staleAfterMs: new Map<string, number>() };
  const sim = simulated(watch);
  const readingOf = translation(config, alarms.subjects);
  const turnedContacts = contactsByQuality(sim);
  let state = newPlant(alarmStateAtStart(alarms));
  let arrived = sim.readings().flatMap(readingOf);
  for (let second = 1; second <= watch.seconds; second += 1) {
    const measured = sim.step(FRAME_MS);
    arrived = [...arrived, ...[...turnedContacts(), ...measured].flatMap(readingOf)];
    const nowMs = WATCH_START_MS + second * FRAME_MS + config.holdBackMs;
    const asked = { lostEndpoints: new Set<string>(), lots: [], orders: [], restarts: [] };
    const step = stepPlant(setup, state, { arrived, nowMs, ...asked });
    if (step.faults.length > 0) throw step.faults[0]?.error;
    arrived = [];
    state = step.state;
    yield step;
  }
}

/** Figures that no rule listens to would be worked out for nobody. */
function withNeededFigures(line: LineSetup, subjects: ReadonlySet<string>): LineSetup {
  return { ...line, plans: line.plans.filter(({ description }) => subjects.has(description.id)) };
}

function simulated({ seed, upset }: Watch): SimulatedPlant {
  if (upset === null) return simulatedPlant({ seed });
  const found = UPSETS.get(upset.name);
  if (found === undefined) throw new RangeError(`there is no upset ${upset.name}`);
  const changes = found.changes.map((change) => ({ ...change, size: change.size * upset.share }));
  return simulatedPlant({ seed, upsets: [{ upset: { ...found, changes }, atMs: upset.onsetS * 1000 }] });
}

/** In-process the simulator tells a contact when its value changes; over OPC UA also when its status does. */
function contactsByQuality(sim: SimulatedPlant): () => readonly SimReading[] {
  const contacts = sim.tags.flatMap(({ kind, node }, tag) => (kind === 'contact' ? [{ node, tag }] : []));
  const known = new Map(contacts.map(({ tag }) => [tag, sim.channels.qualityOf(tag)]));
  return () =>
    contacts.flatMap(({ node, tag }) => {
      const quality = sim.channels.qualityOf(tag);
      if (quality === known.get(tag)) return [];
      known.set(tag, quality);
      return [{ node, timeMs: sim.timeMs() + sim.skewMs(), value: sim.channels.values[tag] ?? 0, quality }];
    });
}

/** What the plant calls a point and how it counts, as the server does; points that nobody looks at are left out. */
function translation(
  config: PlantConfig,
  subjects: ReadonlySet<string>,
): (reading: SimReading) => readonly Reading[] {
  const tracked = new Set(demoLines(config).flatMap((line) => [...line.tracked.keys()]));
  const needed = config.addresses.filter(({ tag }) => tracked.has(tag) || subjects.has(tag));
  const addressOf = new Map(needed.map((entry) => [entry.node.replace(/^.*;s=/, ''), entry]));
  return ({ node, timeMs, value, quality: severity }) => {
    const address = addressOf.get(node);
    if (address === undefined) return [];
    const quality = QUALITIES[severity];
    const sourceTimeMs = WATCH_START_MS + timeMs;
    const scaled = quality === 'bad' ? null : value * (address.factor ?? 1);
    return [{ tag: address.tag, sourceTimeMs, arrivalMs: sourceTimeMs, value: scaled, quality }];
  };
}
