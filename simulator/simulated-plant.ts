import { catalogue } from './catalogue.ts';
import { instrument } from './instruments/instrument.ts';
import type { ContactChange } from './logic/line-logic.ts';
import { buildPlant, stepPlant, type Plant } from './plant.ts';
import { signalsOf } from './signals.ts';
import type { Profile, TagEntry } from './tags/tag-entry.ts';
import { upsetPlayer, type UpsetPlayer } from './upsets/upset-player.ts';

export interface SimulatedPlantOptions {
  readonly seed: number;
  readonly profile: Profile;
  readonly stepMs: number;
  /** Run before time zero, so that the line is warm and full when the watching begins. */
  readonly settleMs: number;
}

/** The plant with its instruments, in-process: no clock, no socket; the same seed gives the same numbers. */
export interface SimulatedPlant {
  readonly plant: Plant;
  readonly upsets: UpsetPlayer;
  readonly tags: readonly TagEntry[];
  /** What each tag shows after the last step, in the order of `tags`; contacts as 0 and 1. */
  readonly values: Float64Array;
  /** Milliseconds since time zero, at the end of the last step. */
  timeMs(): number;
  /** Lets the sequence run up to an instant within the coming step; for faces that show contacts at once. */
  contactsUntil(timeMs: number): readonly ContactChange[];
  /** One step of the physics; returns the contacts that changed in it and were not yet taken. */
  step(): readonly ContactChange[];
}

export function simulatedPlant(options: SimulatedPlantOptions): SimulatedPlant {
  const plant = buildPlant({ seed: options.seed, stepMs: options.stepMs });
  plant.timeMs = -options.settleMs;
  const tags = catalogue(options.profile);
  const signals = signalsOf(plant);
  const stepS = options.stepMs / 1000;
  const channels = tags.map((entry) => ({
    entry,
    truth: signals.get(entry.node) ?? (() => 0),
    instrument: instrument({ entry, seed: options.seed, stepS }),
  }));
  const values = new Float64Array(tags.length);
  const indexOf = new Map(tags.map((entry, i) => [entry.node, i] as const));

  function readInstruments(): void {
    channels.forEach(({ entry, truth, instrument }, i) => {
      if (entry.kind !== 'contact') values[i] = instrument.read(truth());
    });
  }

  function keep(changes: readonly ContactChange[]): readonly ContactChange[] {
    const known = changes.filter((change) => indexOf.has(change.node));
    for (const change of known) values[indexOf.get(change.node) ?? 0] = change.value ? 1 : 0;
    return known;
  }

  for (let i = 0; i < tags.length; i += 1) values[i] = plant.logic.contactValue(tags[i]?.node ?? '') ? 1 : 0;
  keep(plant.logic.takeChanges());
  while (plant.timeMs < 0) stepPlant(plant);
  keep(plant.logic.takeChanges());
  readInstruments();

  const upsets = upsetPlayer(plant.levers, plant.logic);
  return {
    plant,
    upsets,
    tags,
    values,
    timeMs: () => plant.timeMs,
    contactsUntil(timeMs) {
      plant.logic.advance(Math.min(timeMs, plant.timeMs + options.stepMs));
      return keep(plant.logic.takeChanges());
    },
    step() {
      upsets.apply(plant.timeMs);
      stepPlant(plant);
      readInstruments();
      return keep(plant.logic.takeChanges());
    },
  };
}
