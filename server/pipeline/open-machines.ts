import { learningDesk } from '../condition/learning-desk.ts';
import { openMachineWatch, type RunningMachineWatch } from '../condition/machine-watch.ts';
import type { PlantConfig } from '../config/plant-config.ts';
import type { Clock } from '../ports/clock.ts';
import type { CommandDesk } from '../ports/command-desk.ts';
import type { RecordStore } from '../ports/record-store.ts';
import type { SampleStore, SeriesId } from '../ports/sample-store.ts';

export interface MachineParts {
  readonly config: PlantConfig;
  readonly samples: SampleStore;
  readonly records: RecordStore;
  readonly seriesOf: ReadonlyMap<string, SeriesId>;
  readonly commands: CommandDesk;
  readonly clock: Clock;
  readonly log: (text: string) => void;
}

/** What the web gets of the machines, and how to end it; nothing but the plain desk where none are named. */
export interface OpenedMachines {
  readonly forWeb: { readonly desk: CommandDesk; readonly machines?: RunningMachineWatch };
  stop(): Promise<void>;
}

export async function openMachines(parts: MachineParts): Promise<OpenedMachines> {
  const { config, samples, records, seriesOf, commands, clock, log } = parts;
  if (config.machines === null) return { forWeb: { desk: commands }, stop: () => Promise.resolve() };
  const defaultGroup = new Map(config.settings.map(({ line, defaultCrop }) => [line, defaultCrop]));
  const machines = await openMachineWatch({
    settings: config.machines,
    seriesOf: (tag) => seriesOf.get(tag),
    ...{ samples, records, defaultGroup, clock, log },
  });
  return {
    forWeb: { desk: learningDesk(commands, machines, clock), machines },
    stop: () => machines.stop(),
  };
}
