import type { DriveEntry } from '../tags/machine-list.ts';
import { speedAfter } from './speed.ts';

/** One motor and what it turns, as it is at the end of a step. */
export interface DriveState {
  readonly entry: DriveEntry;
  speed: number;
  meanSpeed: number;
  /** Share of the contactor's step time on; for run hours. */
  load: number;
  currentA: number;
  windingC: number;
  bearingC: number;
  vibrationMmPerS: number;
  runHours: number;
  starts: number;
}

/** What is wrong with a drive; all zero when it is well. */
export interface DriveFaults {
  /** 0 = new bearing, 1 = about to fail. */
  readonly bearingWear: number;
  /** Largest deviation of a phase current from the mean, as a ratio of the mean. */
  readonly phaseImbalance: number;
}

export interface DriveStep {
  readonly isOn: boolean;
  readonly wasOn: boolean;
  readonly switchingsS: readonly number[];
  readonly stepS: number;
  /** Mechanical load as a ratio of rated power. */
  readonly load: number;
  readonly ambientC: number;
  readonly faults: DriveFaults;
}

export function warmDrive(entry: DriveEntry, isOn: boolean, hours: number): DriveState {
  return {
    entry,
    speed: isOn ? 1 : 0,
    meanSpeed: isOn ? 1 : 0,
    load: 0,
    currentA: 0,
    windingC: isOn ? WARM_WINDING_C : COLD_C,
    bearingC: isOn ? WARM_BEARING_C : COLD_C,
    vibrationMmPerS: 0,
    runHours: hours,
    starts: Math.round(hours / HOURS_BETWEEN_STARTS),
  };
}

const COLD_C = 22;
const WARM_WINDING_C = 60;
const WARM_BEARING_C = 42;
const HOURS_BETWEEN_STARTS = 9;
/** Magnetising current of a four-pole motor as a share of rated current. From memory, medium. */
const NO_LOAD_CURRENT_RATIO = 0.4;
/** Locked-rotor current of a standard motor, times rated. From memory, high. */
const INRUSH_RATIO = 6;
const WINDING_RISE_C = 70;
const WINDING_TIME_S = 1500;
const BEARING_RISE_C = 26;
const BEARING_TIME_S = 600;

/** Moves a drive on by one step. */
export function stepDrive(drive: DriveState, step: DriveStep): void {
  const { speed, mean } = speedAfter({
    speed: drive.speed,
    wasOn: step.wasOn,
    switchingsS: step.switchingsS,
    stepS: step.stepS,
    runUpS: drive.entry.prefix === 'Fan' ? 2.5 : 0.7,
    coastS: drive.entry.prefix === 'Fan' ? 9 : 1.2,
  });
  drive.speed = speed;
  drive.meanSpeed = mean;
  drive.load = step.load * mean;
  drive.starts += Math.ceil((step.switchingsS.length - (step.wasOn ? 1 : 0)) / 2);
  if (step.isOn) drive.runHours += step.stepS / 3600;
  drive.currentA = step.isOn ? drive.entry.ratedCurrentA * currentRatio(drive.load, mean, step.faults) : 0;
  warm(drive, step);
  const wear = step.faults.bearingWear;
  drive.vibrationMmPerS = mean * mean * (baseVibration(drive.entry) + 7 * wear * wear + 1.5 * wear);
}

/**
 * Current of an induction motor from its load.
 *
 *     I / I_rated = sqrt(i0^2 + (1 - i0^2) load^2)
 *
 * The magnetising part stands at right angles to the load part. Starting adds the inrush until it is up to speed.
 */
export function currentRatio(load: number, speed: number, faults: DriveFaults): number {
  const quadrature = NO_LOAD_CURRENT_RATIO ** 2;
  const steady = Math.sqrt(quadrature + (1 - quadrature) * (load + 0.04 * faults.bearingWear) ** 2);
  return steady * (1 + faults.phaseImbalance ** 2) + (INRUSH_RATIO - 1) * Math.max(0, 1 - speed);
}

function warm(drive: DriveState, step: DriveStep): void {
  const ratio = drive.currentA / drive.entry.ratedCurrentA;
  const unbalance = 1 + 4 * step.faults.phaseImbalance;
  const windingTarget = step.ambientC + WINDING_RISE_C * ratio * ratio * unbalance;
  drive.windingC += (windingTarget - drive.windingC) * (1 - Math.exp(-step.stepS / WINDING_TIME_S));
  const friction = drive.meanSpeed * (0.7 + 0.3 * drive.load) * (1 + 2.2 * step.faults.bearingWear);
  const bearingTarget = step.ambientC + BEARING_RISE_C * friction;
  drive.bearingC += (bearingTarget - drive.bearingC) * (1 - Math.exp(-step.stepS / BEARING_TIME_S));
}

function baseVibration(entry: DriveEntry): number {
  return entry.prefix === 'Fan' ? 1.1 : 0.8;
}
