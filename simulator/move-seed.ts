import { airOf, strokesOf } from './drives/standing.ts';
import { isDriveOn } from './logic/line-logic.ts';
import { PUMPS } from './logic/sequence.ts';
import { stepBagger } from './physics/bagger.ts';
import { stepCleaning, type Station } from './physics/cleaning-train.ts';
import { stepDryer } from './physics/dryer.ts';
import { addTo, massOf, type Parcel } from './physics/parcel.ts';
import { SEPARATORS, type Condition, type Separator } from './physics/separators/separator.ts';
import { PRODUCTS, stepTreating } from './physics/treating-train.ts';
import type { Plant } from './plant-state.ts';

/** Moves the seed through the whole plant for one step, as fast as the drives turned in it. */
export function moveSeed(plant: Plant): void {
  const { flow, population } = plant;
  const advance = (machine: string) => advanceOf(plant, machine);
  plant.feed.draw(flow.feed, advance('Intake'));
  flow.feedKg = massOf(population.layout, flow.feed);
  flow.feedTotalKg += flow.feedKg;
  addTo(flow.fedInAll, flow.feed);
  const clean = cleanSeed(plant, advance);
  flow.clean.set(clean);
  flow.cleanKg = massOf(population.layout, clean);
  treatSeed(plant, clean, advance);
  stepBagger(plant.bagger, population.layout, {
    hopper: plant.treating.hopper,
    runS: (plant.options.stepMs / 1000) * advance('Bagger'),
    overfillKg: plant.levers.size('bag-overfill'),
    flowing: 1 - plant.levers.size('bridging'),
  });
}

function cleanSeed(plant: Plant, advance: (machine: string) => number): Parcel {
  const { cleaning, flow, shares } = plant;
  const clean = stepCleaning(cleaning, plant.population, {
    feed: flow.feed,
    shares: (separator) => shares.of(separator, conditionOf(plant, separator)),
    middlings: () => shares.middlings(conditionOf(plant, 'GravityTable')),
    middlingsReturned: plant.crop.settings.middlingsReturnedRatio,
    isOnRoute: plant.logic.options.isOnRoute,
    advance,
    dustCaught: DUST_CAUGHT * Math.min(1, airOf(plant, 'DustSystem')),
  });
  for (const separator of SEPARATORS) addTo(flow.takenInAll, cleaning.taken[separator]);
  addTo(flow.dustInAll, cleaning.dust);
  return clean;
}

const DUST_CAUGHT = 0.85;
const KG_PER_H_NOMINAL_DISCHARGE_RATIO = 0.865;
const BIN_SET_KG = 400;
/** Liquid that stays on the seed; the rest is mist and drips. */
const RETENTION = 0.99;
const LEAST_SEED_KG_PER_H = 600;

function treatSeed(plant: Plant, clean: Parcel, advance: (machine: string) => number): void {
  const { treating, population, levers, dryer, weather } = plant;
  const stepS = plant.options.stepMs / 1000;
  stepTreating(treating, population, {
    stepS,
    clean,
    isCleanDiverted: levers.size('wrong-gate', 'CleanBin') > 0,
    dischargeKg: dischargeKg(plant),
    pumpTargetMlPerMin: [pumpTarget(plant, 0), pumpTarget(plant, 1), pumpTarget(plant, 2)],
    tankLimitKg: [tankLimit(plant, 'A'), tankLimit(plant, 'B'), tankLimit(plant, 'C')],
    advance,
    retention: RETENTION,
    dry: (parcel) =>
      stepDryer(dryer, population, {
        parcel,
        step: {
          crop: plant.crop.name,
          stepS,
          airFlow: airOf(plant, 'Dryer'),
          airSetC: plant.crop.settings.dryerAirC + levers.size('dryer-over-temperature'),
          ambientC: weather.ambientC,
          ambientHumidity: weather.humidity,
        },
      }),
  });
}

/** The gate under the clean bin follows its level in one run and stands still in a treating run. */
function dischargeKg(plant: Plant): number {
  if (!isDriveOn(plant.logic, 'Elevator3') || !isDriveOn(plant.logic, 'Treater')) return 0;
  const level = plant.treating.cleanBin.contentsKg();
  const pull = Math.max(-1, Math.min(0.3, (level - BIN_SET_KG) / BIN_SET_KG));
  const ratio = plant.options.run === 'one-run' ? 1 + 0.6 * pull : 1;
  const nominal = plant.crop.settings.feedKgPerH * KG_PER_H_NOMINAL_DISCHARGE_RATIO;
  return (nominal * ratio * plant.options.stepMs) / 3_600_000;
}

/** What a pump really draws: what it is set to, at the speed it turns, less the air it sucks. */
function pumpTarget(plant: Plant, i: 0 | 1 | 2): number {
  const drawn = 1 - plant.levers.size('pump-air-lock', PUMP_LETTERS[i]);
  const speed = plant.drives.get(PUMPS[i] ?? '')?.meanSpeed ?? 0;
  return pumpSetMlPerMin(plant, i) * drawn * speed;
}

/** Each pump follows the seed wheel as it indicates, right or wrong; without seed no liquid. */
export function pumpSetMlPerMin(plant: Plant, i: 0 | 1 | 2): number {
  const seedKgPerH = (plant.treating.seedKg * 3_600_000) / plant.options.stepMs;
  if (seedKgPerH < LEAST_SEED_KG_PER_H) return 0;
  const indicated = seedKgPerH * (1 + plant.levers.size('seed-wheel-span'));
  const ratio = 1 + plant.levers.size('wrong-ratio', PUMP_LETTERS[i]);
  return (PRODUCTS[i].doseMlPerBu * indicated * ratio) / plant.crop.kgPerBu / 60;
}

const PUMP_LETTERS = ['A', 'B', 'C'] as const;

function tankLimit(plant: Plant, letter: string): number {
  const limit = plant.levers.size('tank-low', letter);
  return limit > 0 ? limit : Number.POSITIVE_INFINITY;
}

/** How far a machine moves its seed in this step: its mean speed, less what slips or is plugged. */
function advanceOf(plant: Plant, machine: string): number {
  const speed = plant.drives.get(machine)?.meanSpeed ?? 0;
  const slip = plant.levers.size('elevator-slip', machine);
  const plugged = plant.levers.size('plugged-leg', machine);
  return speed * (1 - slip) * (1 - plugged);
}

function conditionOf(plant: Plant, separator: Separator): Condition {
  const { levers, crop } = plant;
  const feedKgPerH = (plant.cleaning.feedKg[separator as Station] * 3_600_000) / plant.options.stepMs;
  return {
    load: feedKgPerH / (crop.settings.feedKgPerH * RATED_OVER_SET),
    air: airOf(plant, separator),
    strokes: strokesOf(plant, separator),
    blinding: levers.size('screen-blinding', separator),
    torn: levers.size('torn-screen', separator),
    detuned: levers.size('deck-out-of-tune', separator),
    // What lies on a machine is as wet as what came in a little earlier; the lot's shift is near enough.
    extraMoisture: levers.size('wet-lot'),
  };
}

/** Machines are rated a little above what is set. */
const RATED_OVER_SET = 1.15;
