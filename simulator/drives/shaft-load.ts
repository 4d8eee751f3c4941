import type { DriveId } from '../logic/sequence.ts';
import { STATIONS, type Station } from '../physics/cleaning-train.ts';
import { fanPoint } from '../physics/fan.ts';
import type { DriveSurroundings, Plant } from '../plant-state.ts';
import { fanStandingOf } from './standing.ts';

/** Load of a drive at rated throughput: what it takes empty, and what the seed adds. Shares of rated power, invented. */
const LOADS: Readonly<Record<DriveId, readonly [empty: number, seed: number]>> = {
  Intake: [0.3, 0.35],
  Elevator1: [0.22, 0.48],
  Scalper: [0.5, 0.12],
  AirScreen: [0.56, 0.12],
  Aspirator: [0.4, 0.1],
  LengthGrader: [0.45, 0.2],
  Sizer: [0.46, 0.2],
  Elevator2: [0.22, 0.44],
  Destoner: [0.56, 0.1],
  GravityTable: [0.58, 0.14],
  Elevator3: [0.22, 0.5],
  Treater: [0.36, 0.3],
  Dryer: [0.36, 0.25],
  Bagger: [0.3, 0.25],
  DustSystem: [0.45, 0],
};

const FAN_DESIGN_LOAD = 0.78;
const PUMP_LOAD = 0.5;

/** Mechanical load of a drive as a ratio of its rated power; `throughput` is its seed as a ratio of the set feed. */
export function shaftLoad(plant: DriveSurroundings, id: DriveId, throughput: number): number {
  const [machine = '', part] = id.split('.');
  if (part === 'Fan') return fanLoad(plant, machine);
  if (part !== undefined) return PUMP_LOAD;
  const [empty, seed] = LOADS[id] ?? [0.5, 0];
  const slipping = plant.levers.size('deck-belt-slip', id) + plant.levers.size('elevator-slip', id);
  const jammed = 1.1 * plant.levers.size('plugged-leg', id);
  return empty * (1 - 0.3 * slipping) + seed * throughput + jammed;
}

function fanLoad(plant: DriveSurroundings, machine: string): number {
  // The cube of the speed is in the point already; the drive multiplies by its speed once more, so that is taken out.
  return FAN_DESIGN_LOAD * fanPoint(fanStandingOf(plant, machine, 1)).power;
}

/** Seed through a machine in the last step, as a ratio of the line's set feed. */
export function throughputRatio(plant: Plant, machine: DriveId): number {
  const kg = isStation(machine) ? plant.cleaning.feedKg[machine] : treatedKg(plant, machine);
  return (kg * 3_600_000) / plant.options.stepMs / plant.crop.settings.feedKgPerH;
}

function treatedKg(plant: Plant, machine: string): number {
  return machine === 'DustSystem' ? 0 : plant.treating.seedKg;
}

function isStation(machine: string): machine is Station {
  return (STATIONS as readonly string[]).includes(machine);
}
