import { turnDrives, warmDrives } from './drives/turn-drives.ts';
import { advanceLogic, createLineLogic } from './logic/line-logic.ts';
import { watchLine } from './logic/watch-line.ts';
import { bagger } from './physics/bagger.ts';
import { cleaningTrain } from './physics/cleaning-train.ts';
import { CROPS } from './physics/crops/crop-list.ts';
import type { Crop } from './physics/crops/crop.ts';
import { warmDryer } from './physics/dryer.ts';
import { feed } from './physics/feed.ts';
import { populationOf } from './physics/population.ts';
import { randomStream } from './physics/random.ts';
import { takenShares } from './physics/separators/taken-shares.ts';
import { treatingTrain } from './physics/treating-train.ts';
import { wander } from './physics/wander.ts';
import { fillCleanBin } from './fill-clean-bin.ts';
import { moveSeed } from './move-seed.ts';
import { isOnRouteOf } from './routes.ts';
import type { Flow, Plant, PlantOptions, Weather } from './plant-state.ts';
import { createLevers } from './upsets/levers.ts';

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
