import type { Plant } from '../plant-state.ts';
import { TOTAL_ROLLOVER_KG } from '../tags/process-tags.ts';
import type { Instrument } from './instrument.ts';

/** Counters stood at these when the plant began to be simulated, kg. */
const START_KG = { intake: 405_380, clean: 349_120, seed: 295_440, bagger: 291_760 } as const;
/** Totalisers count in tenths of a kilogram. */
const STEP_KG = 0.1;

export interface TotalOptions {
  readonly plant: Plant;
  readonly stepS: number;
  readonly scales: ReadonlyMap<string, Instrument>;
}

/** A totaliser adds up what its scale indicates, right or wrong, and rolls over like the counter it is. */
export function totalOf(node: string, { plant, stepS, scales }: TotalOptions): (() => number) | undefined {
  switch (node) {
    case 'Intake.MassTotal':
      return adding(START_KG.intake, stepS, scales.get('Intake.MassFlow'));
    case 'Clean.MassTotal':
      return adding(START_KG.clean, stepS, scales.get('Clean.MassFlow'));
    case 'Treater.SeedTotal':
      return adding(START_KG.seed, stepS, scales.get('Treater.SeedFlow'));
    case 'Bagger.MassTotal':
      return () =>
        rolled(START_KG.bagger + plant.bagger.baggedKg * (1 + plant.levers.size('scale-span', node)));
    default:
      return undefined;
  }
}

function adding(startKg: number, stepS: number, scale: Instrument | undefined): () => number {
  let kg = startKg;
  return () => {
    kg += (Math.max(0, scale?.indicated() ?? 0) * stepS) / 3600;
    return rolled(kg);
  };
}

function rolled(kg: number): number {
  return (Math.floor(kg / STEP_KG) * STEP_KG) % TOTAL_ROLLOVER_KG;
}
