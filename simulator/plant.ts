import { warmDrives, turnDrives, type Drives } from './drives/turn-drives.ts';
import { advanceLogic, createLineLogic, type LineLogic } from './logic/line-logic.ts';
import { watchLine } from './logic/watch-line.ts';
import { bagger, type Bagger } from './physics/bagger.ts';
import { cleaningTrain, type CleaningTrain } from './physics/cleaning-train.ts';
import { CROPS } from './physics/crops/crop-list.ts';
import type { Crop, CropName, Settings } from './physics/crops/crop.ts';
import { warmDryer, type Dryer } from './physics/dryer.ts';
import { feed, type Feed } from './physics/feed.ts';
import type { Parcel } from './physics/parcel.ts';
import { populationOf, type Population } from './physics/population.ts';
import { randomStream } from './physics/random.ts';
import { takenShares, type TakenShares } from './physics/separators/taken-shares.ts';
import { treatingTrain, type TreatingTrain } from './physics/treating-train.ts';
import { wander } from './physics/wander.ts';
import { fillCleanBin } from './fill-clean-bin.ts';
import { moveSeed } from './move-seed.ts';
import { isOnRouteOf, type RunMode } from './routes.ts';
import { createLevers, type Levers } from './upsets/levers.ts';

export interface PlantOptions {
  readonly seed: number;
  readonly stepMs: number;
  readonly crop: CropName;
  readonly run: RunMode;
  /** Settings that differ from the crop's usual ones. */
  readonly settings: Partial<Settings>;
  /** Machines that the gates send this lot past; absent = the crop's usual route. */
  readonly bypassed: readonly string[] | undefined;
}

export interface Plant {
  readonly options: PlantOptions;
  readonly crop: Crop;
  readonly population: Population;
  readonly shares: TakenShares;
  readonly levers: Levers;
  readonly logic: LineLogic;
  readonly feed: Feed;
  readonly cleaning: CleaningTrain;
  readonly treating: TreatingTrain;
  readonly dryer: Dryer;
  readonly bagger: Bagger;
  readonly drives: Drives;
  readonly flow: Flow;
  readonly weather: Weather;
  timeMs: number;
}

/** What went where, kg in the last step and in all. Parcels in all are for balances. */
export interface Flow {
  readonly feed: Parcel;
  readonly clean: Parcel;
  feedKg: number;
  cleanKg: number;
  /** Moisture of the clean seed that last came past, kg water per kg wet. */
  cleanMoisture: number;
  feedTotalKg: number;
  readonly fedInAll: Parcel;
  readonly takenInAll: Parcel;
  readonly dustInAll: Parcel;
}

export interface Weather {
  ambientC: number;
  /** Relative humidity, 0 to 1. */
  humidity: number;
  /** Mains voltage as a ratio of rated. */
  mains: number;
  readonly strays: readonly [() => number, () => number, () => number];
}

const RESTART_AFTER_MS = 4000;

export function buildPlant(options: PlantOptions): Plant {
  const usual = CROPS[options.crop];
  const crop: Crop = {
    ...usual,
    settings: { ...usual.settings, ...options.settings },
    bypassed: options.bypassed ?? usual.bypassed,
  };
  const population = populationOf(crop);
  const levers = createLevers();
  const stepS = options.stepMs / 1000;
  const { layout } = population;
  const isOnRoute = isOnRouteOf({ crop, run: options.run, levers });
  const logic = createLineLogic({ seed: options.seed, isOnRoute, restartAfterMs: RESTART_AFTER_MS });
  const plant: Plant = {
    options,
    crop,
    population,
    shares: takenShares(population, crop),
    levers,
    logic,
    feed: feed({ crop, population, seed: options.seed, stepS, levers }),
    cleaning: cleaningTrain(layout.size, stepS),
    treating: treatingTrain(layout, stepS),
    dryer: warmDryer(crop.settings.dryerAirC),
    bagger: bagger(layout, randomStream(options.seed, 'bagger')),
    drives: warmDrives(logic),
    flow: emptyFlow(layout.size),
    weather: mildWeather(options.seed, stepS),
    timeMs: 0,
  };
  if (options.run === 'treating') fillCleanBin(plant);
  return plant;
}

/** Moves the whole plant on by one step. */
export function stepPlant(plant: Plant): void {
  const endMs = plant.timeMs + plant.options.stepMs;
  advanceLogic(plant.logic, endMs);
  changeWeather(plant.weather);
  turnDrives(plant);
  moveSeed(plant);
  watchLine(plant, endMs);
  plant.timeMs = endMs;
}

function emptyFlow(size: number): Flow {
  const parcel = () => new Float64Array(size);
  return {
    feed: parcel(),
    clean: parcel(),
    feedKg: 0,
    cleanKg: 0,
    cleanMoisture: 0.12,
    feedTotalKg: 0,
    fedInAll: parcel(),
    takenInAll: parcel(),
    dustInAll: parcel(),
  };
}

function mildWeather(seed: number, stepS: number): Weather {
  const stray = (purpose: string, standardDeviation: number, timeConstantS: number) =>
    wander({ random: randomStream(seed, purpose), standardDeviation, timeConstantS, stepS });
  return {
    ambientC: 22,
    humidity: 0.52,
    mains: 1,
    strays: [stray('ambient', 1.2, 5400), stray('humidity', 0.04, 5400), stray('mains', 0.006, 60)],
  };
}

function changeWeather(weather: Weather): void {
  weather.ambientC = 22 + weather.strays[0]();
  weather.humidity = Math.min(0.9, Math.max(0.2, 0.52 + weather.strays[1]()));
  weather.mains = 1 + weather.strays[2]();
}
