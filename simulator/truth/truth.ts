import { massOf, type Parcel } from '../physics/parcel.ts';
import { qualityOf } from '../physics/stream-quality.ts';
import type { Plant } from '../plant-state.ts';
import type { PulledLever } from '../upsets/levers.ts';

interface StreamTruth {
  readonly kgPerH: number;
  readonly purity: number | null;
  readonly germination: number | null;
}

export type StreamName = (typeof STREAM_NAMES)[number];

export const STREAM_NAMES = [
  'feed',
  'overs',
  'screenings',
  'liftings',
  'shorts',
  'offSize',
  'stones',
  'lights',
  'middlings',
  'offRound',
  'offColour',
  'dust',
  'clean',
  'dried',
] as const;

/** What really flowed in the last step, and what really is wrong. */
export interface Truth {
  readonly timeMs: number;
  readonly streams: Readonly<Record<StreamName, StreamTruth>>;
  /** Products on the seed, mL/min of each pump. */
  readonly pumpsMlPerMin: readonly [number, number, number];
  readonly seedWheelKgPerH: number;
  readonly evaporatedKgPerH: number;
  readonly failures: readonly PulledLever[];
}

export function truthOf(plant: Plant): Truth {
  const perHour = 3_600_000 / plant.options.stepMs;
  const { treating } = plant;
  const streams = STREAM_NAMES.map((name) => [name, streamTruth(plant, streamOf(plant, name))] as const);
  const [a, b, c] = treating.pumpsMlPerMin;
  return {
    timeMs: plant.timeMs,
    streams: Object.fromEntries(streams) as Record<StreamName, StreamTruth>,
    pumpsMlPerMin: [a, b, c],
    seedWheelKgPerH: treating.seedKg * perHour,
    evaporatedKgPerH: treating.evaporatedKg * perHour,
    failures: plant.levers.pulled(),
  };
}

function streamTruth(plant: Plant, parcel: Parcel): StreamTruth {
  const perHour = 3_600_000 / plant.options.stepMs;
  const kgPerH = massOf(plant.population.layout, parcel) * perHour;
  return { kgPerH, ...qualityOf(plant.population, parcel) };
}

function streamOf({ flow, cleaning, treating }: Plant, name: StreamName): Parcel {
  const { taken } = cleaning;
  const streams: Readonly<Record<StreamName, Parcel>> = {
    feed: flow.feed,
    overs: taken.Scalper,
    screenings: taken.AirScreen,
    liftings: taken.Aspirator,
    shorts: taken.LengthGrader,
    offSize: taken.Sizer,
    stones: taken.Destoner,
    lights: taken.GravityTable,
    middlings: cleaning.middlings,
    offRound: taken.Spiral,
    offColour: taken.ColourSorter,
    dust: cleaning.dust,
    clean: flow.clean,
    dried: treating.dried,
  };
  return streams[name];
}
