import { driveId, DRIVES, PUMPS, type DriveId } from './logic/sequence.ts';
import { lineLogic, type LineLogic } from './logic/line-logic.ts';
import { stepDrive, warmDrive, type DriveState } from './drives/drive.ts';
import { BAG_KG, bagger, stepBagger, type Bagger } from './physics/bagger.ts';
import {
  cleaningTrain,
  forEachSeparator,
  stepCleaning,
  type CleaningTrain,
  type Separator,
} from './physics/cleaning-train.ts';
import { feed, type Feed } from './physics/feed.ts';
import { COMPONENTS } from './physics/lot.ts';
import { massOf, parcelLayout, type Parcel, type ParcelLayout } from './physics/parcel.ts';
import { randomStream } from './physics/random.ts';
import { PRODUCTS, stepTreating, treatingTrain, type TreatingTrain } from './physics/treating-train.ts';
import { MACHINES, type MachineName } from './tags/machine-list.ts';
import { createLevers, type Levers } from './upsets/levers.ts';

export interface PlantOptions {
  readonly seed: number;
  readonly stepMs: number;
}

export interface Plant {
  readonly options: PlantOptions;
  readonly layout: ParcelLayout;
  readonly levers: Levers;
  readonly logic: LineLogic;
  readonly feed: Feed;
  readonly cleaning: CleaningTrain;
  readonly shares: Readonly<Record<Separator, Float64Array>>;
  readonly treating: TreatingTrain;
  readonly bagger: Bagger;
  readonly drives: ReadonlyMap<DriveId, DriveState>;
  readonly flow: Flow;
  timeMs: number;
  ambientC: number;
}

/** What went where in the last step and in all, kg. */
export interface Flow {
  readonly feed: Parcel;
  feedKg: number;
  cleanKg: number;
  feedTotalKg: number;
  cleanTotalKg: number;
  seedTotalKg: number;
  readonly takenKg: Record<Separator, number>;
}

const SET_KG_PER_H = 13_200;
const KG_PER_BU = 27.2155422;
const BIN_SET_KG = 400;
const BIN_HIGH_KG = 1200;
const BIN_HIGH_CLEARS_KG = 700;
const RESTART_AFTER_MS = 4000;
const DRYING_RATIO = 0.93;

export function isOnSoybeanRoute(machine: MachineName): boolean {
  return machine !== 'LengthGrader';
}

export function buildPlant(options: PlantOptions): Plant {
  const layout = parcelLayout(COMPONENTS.map(() => 1));
  const levers = createLevers();
  const stepS = options.stepMs / 1000;
  const logic = lineLogic({
    seed: options.seed,
    isOnRoute: isOnSoybeanRoute,
    restartAfterMs: RESTART_AFTER_MS,
  });
  logic.setContact('LengthGrader.Bypassed', true, 0);
  return {
    options,
    layout,
    levers,
    logic,
    feed: feed({
      layout,
      seed: options.seed,
      stepS,
      setKgPerH: SET_KG_PER_H,
      composition: SOYBEAN_MIXTURE,
      cellWeights: new Float64Array(layout.cells).fill(1),
      moisture: COMPONENTS.map((name) => (name === 'stone' ? 0 : 0.121)),
      levers,
    }),
    cleaning: cleaningTrain(layout, stepS),
    shares: forEachSeparator((name) => Float64Array.from(SOYBEAN_SHARES[name])),
    treating: treatingTrain(layout, stepS),
    bagger: bagger(layout, randomStream(options.seed, 'bagger')),
    drives: warmDrives(logic),
    flow: {
      feed: new Float64Array(layout.size),
      feedKg: 0,
      cleanKg: 0,
      feedTotalKg: 0,
      cleanTotalKg: 0,
      seedTotalKg: 0,
      takenKg: forEachSeparator(() => 0),
    },
    timeMs: 0,
    ambientC: 22,
  };
}

/** Moves the whole plant on by one step. */
export function stepPlant(plant: Plant): void {
  plant.logic.advance(plant.timeMs + plant.options.stepMs);
  turnDrives(plant);
  moveSeed(plant);
  watchLevels(plant);
  plant.timeMs += plant.options.stepMs;
}

function moveSeed(plant: Plant): void {
  const { layout, flow } = plant;
  const stepS = plant.options.stepMs / 1000;
  const advance = (machine: MachineName) => plant.drives.get(machine)?.meanSpeed ?? 0;
  plant.feed.draw(flow.feed, advance('Intake'));
  flow.feedKg = massOf(layout, flow.feed);
  flow.feedTotalKg += flow.feedKg;
  const clean = stepCleaning(plant.cleaning, layout, {
    feed: flow.feed,
    shares: plant.shares,
    isOnRoute: isOnSoybeanRoute,
    advance,
  });
  for (const name of Object.keys(flow.takenKg) as Separator[]) {
    flow.takenKg[name] = massOf(layout, plant.cleaning.taken[name]);
  }
  flow.cleanKg = massOf(layout, clean);
  flow.cleanTotalKg += flow.cleanKg;
  stepTreating(plant.treating, layout, {
    stepS,
    clean,
    isCleanDiverted: false,
    dischargeKg: dischargeKg(plant),
    pumpTargetMlPerMin: pumpTargets(plant),
    advance,
    retention: 0.99,
    dry: (parcel) => dryOff(parcel, layout),
  });
  flow.seedTotalKg += plant.treating.seedKg;
  stepBagger(plant.bagger, layout, {
    hopper: plant.treating.hopper,
    runS: stepS * advance('Bagger'),
    overfillKg: 0,
  });
}

/** The gate under the clean bin follows its level. */
function dischargeKg(plant: Plant): number {
  const level = plant.treating.cleanBin.contentsKg();
  const kgPerH = 11_400 * (1 + 0.6 * Math.max(-1, Math.min(0.3, (level - BIN_SET_KG) / BIN_SET_KG)));
  const isOn = plant.logic.isOn('Elevator3') && plant.logic.isOn('Treater');
  return isOn ? (kgPerH * plant.options.stepMs) / 3_600_000 : 0;
}

/** Each pump follows the seed wheel; without seed no liquid. */
function pumpTargets(plant: Plant): [number, number, number] {
  const seedKgPerH = (plant.treating.seedKg * 3_600_000) / plant.options.stepMs;
  const target = (i: 0 | 1 | 2) => {
    const pump = plant.drives.get(PUMPS[i] ?? '')?.meanSpeed ?? 0;
    return seedKgPerH < 600 ? 0 : (PRODUCTS[i].doseMlPerBu * seedKgPerH * pump) / KG_PER_BU / 60;
  };
  return [target(0), target(1), target(2)];
}

function dryOff(parcel: Parcel, layout: ParcelLayout): number {
  const water = (parcel[layout.surfaceWaterAt] ?? 0) * DRYING_RATIO;
  parcel[layout.surfaceWaterAt] = (parcel[layout.surfaceWaterAt] ?? 0) - water;
  return water;
}

function turnDrives(plant: Plant): void {
  const { logic, timeMs } = plant;
  const stepS = plant.options.stepMs / 1000;
  for (const [id, drive] of plant.drives) {
    const switchings = logic.takeSwitchings(id);
    const isOn = logic.isOn(id);
    stepDrive(drive, {
      isOn,
      wasOn: switchings.length % 2 === 0 ? isOn : !isOn,
      switchingsS: switchings.map((at) => Math.max(0, (at - timeMs) / 1000)),
      stepS,
      load: 0.55 + 0.2 * Math.min(1.5, (plant.flow.feedKg * 3600) / stepS / SET_KG_PER_H),
      ambientC: plant.ambientC,
      faults: { bearingWear: 0, phaseImbalance: 0 },
    });
  }
}

function watchLevels(plant: Plant): void {
  const level = plant.treating.cleanBin.contentsKg();
  const isHigh = plant.logic.contact('CleanBin.HighLevel');
  const at = plant.timeMs + plant.options.stepMs;
  if (!isHigh && level >= BIN_HIGH_KG) {
    plant.logic.setContact('CleanBin.HighLevel', true, at);
    plant.logic.block('GravityTable', 'clean bin high', at + 150);
  } else if (isHigh && level < BIN_HIGH_CLEARS_KG) {
    plant.logic.setContact('CleanBin.HighLevel', false, at);
    plant.logic.unblock('GravityTable', 'clean bin high', at);
  }
}

function warmDrives(logic: LineLogic): ReadonlyMap<DriveId, DriveState> {
  const entries = MACHINES.flatMap(({ name, drives }) =>
    drives.map((entry) => [driveId(name, entry.prefix), entry] as const),
  );
  const pump = {
    prefix: '',
    ratedKw: 0.37,
    ratedCurrentA: 1.1,
    ratedSpeedRpm: 1380,
    hasPhases: false,
  } as const;
  const all = [...entries, ...PUMPS.map((id) => [id, pump] as const)];
  return new Map(
    all.map(([id, entry], i) => [id, warmDrive(entry, logic.isOn(id), 3000 + 137 * i)] as const),
  );
}

// Shares of the whole feed by component, and what each machine takes of each component.
const SOYBEAN_MIXTURE = [0.9, 0.045, 0.021, 0.01, 0.003, 0.004, 0.009, 0.0055, 0.0004, 0.0021];
const SOYBEAN_SHARES: Readonly<Record<Separator, readonly number[]>> = {
  Scalper: [0.0005, 0, 0, 0, 0.05, 0, 0.5, 0, 0.1, 0.3],
  AirScreen: [0.022, 0.15, 0.3, 0.1, 0.6, 0.9, 0.8, 0.7, 0.1, 0.1],
  Aspirator: [0.006, 0.12, 0.05, 0.05, 0.1, 0.3, 0.9, 0.9, 0, 0],
  LengthGrader: [0, 0, 0, 0, 0, 0, 0, 0, 0, 0],
  Sizer: [0.01, 0.07, 0.6, 0.05, 0.5, 0.5, 0.3, 0.2, 0.05, 0.05],
  Destoner: [0.0001, 0, 0, 0, 0, 0, 0, 0, 0.95, 0.3],
  GravityTable: [0.03, 0.62, 0.6, 0.55, 0.3, 0.5, 0.8, 0.8, 0, 0.3],
};

export { BAG_KG, DRIVES };
