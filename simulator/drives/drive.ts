import type { DriveEntry } from '../tags/machine-list.ts';
import { speedAfter } from './speed.ts';

/** One motor and what it turns, as it is at the end of a step. */
export interface DriveState {
  readonly entry: DriveEntry;
  /** 1 = full speed. */
  speed: number;
  meanSpeed: number;
  /** Shaft load as a ratio of rated power. */
  load: number;
  /** Mean of the three phases, A. */
  currentA: number;
  readonly phasesA: [number, number, number];
  windingC: number;
  bearingC: number;
  vibrationMmPerS: number;
  runHours: number;
  starts: number;
}

/** All drives by their ids. */
export type Drives = ReadonlyMap<string, DriveState>;

export interface DriveStep {
  readonly isOn: boolean;
  readonly wasOn: boolean;
  readonly switchingsS: readonly number[];
  readonly stepS: number;
  /** Shaft load at full speed as a ratio of rated power. */
  readonly load: number;
  /** Voltage as a ratio of rated. */
  readonly mains: number;
  readonly ambientC: number;
  /** 0 = new bearing, 1 = about to fail. */
  readonly bearingWear: number;
  /** How far the worst phase's current lies from the mean, as a ratio of the mean. */
  readonly phaseImbalance: number;
}

const COLD_C = 22;
const WARM_WINDING_C = 62;
const WARM_BEARING_C = 45;
const HOURS_BETWEEN_STARTS = 9;
/** Magnetising current of a four-pole motor as a share of rated current. From memory, medium. */
const NO_LOAD_CURRENT_RATIO = 0.4;
/** Locked-rotor current of a standard motor, times rated. From memory, high. */
const INRUSH_RATIO = 6;
/** Slip of a standard motor at rated load. From memory, high. */
const RATED_SLIP = 0.035;
const WINDING_RISE_C = 70;
const WINDING_TIME_S = 1500;
const BEARING_RISE_C = 26;
const BEARING_TIME_S = 600;

export function warmDrive(entry: DriveEntry, isOn: boolean, hours: number): DriveState {
  return {
    entry,
    speed: isOn ? 1 : 0,
    meanSpeed: isOn ? 1 : 0,
    load: 0,
    currentA: 0,
    phasesA: [0, 0, 0],
    windingC: isOn ? WARM_WINDING_C : COLD_C,
    bearingC: isOn ? WARM_BEARING_C : COLD_C,
    vibrationMmPerS: 0,
    runHours: hours,
    starts: Math.round(hours / HOURS_BETWEEN_STARTS),
  };
}

/** Moves a drive on by one step. */
export function stepDrive(drive: DriveState, step: DriveStep): void {
  const isFan = drive.entry.prefix === 'Fan';
  const { speed, mean } = speedAfter({
    ...step,
    speed: drive.speed,
    runUpS: isFan ? 2.5 : 0.7,
    coastS: isFan ? 9 : 1.2,
  });
  drive.speed = speed;
  drive.meanSpeed = mean;
  // A fan's load goes with the cube of its speed, a conveyor's with the speed itself.
  drive.load = step.load * (isFan ? mean ** 3 : mean);
  drive.starts += startsIn(step);
  if (step.isOn) drive.runHours += step.stepS / 3600;
  drive.currentA = step.isOn ? drive.entry.ratedCurrentA * currentRatio(drive.load, mean, step) : 0;
  splitPhases(drive, step.phaseImbalance);
  warm(drive, step);
  const wear = step.bearingWear;
  drive.vibrationMmPerS = mean * mean * ((isFan ? 1.1 : 0.8) + 7 * wear * wear + 1.5 * wear);
}

/**
 * Current of an induction motor as a ratio of rated.
 *
 *     I = sqrt(i0^2 V^2 + (1 - i0^2) (load / V)^2) + inrush (1 - speed)
 *
 * Source   the magnetising part stands at right angles to the load part; with less voltage the load needs more current
 */
export function currentRatio(
  load: number,
  speed: number,
  at: { readonly mains: number; readonly bearingWear: number },
): number {
  const idle = NO_LOAD_CURRENT_RATIO * at.mains;
  const working = (load + 0.04 * at.bearingWear * speed) / at.mains;
  const steady = Math.sqrt(idle * idle + (1 - NO_LOAD_CURRENT_RATIO ** 2) * working * working);
  return steady + (INRUSH_RATIO - 1) * Math.max(0, 1 - speed);
}

/** Speed of the shaft under its slip, r/min. */
export function shaftRpm(drive: DriveState): number {
  const slipLess = 1 + RATED_SLIP * (1 - Math.min(1.5, drive.load));
  return drive.speed * drive.entry.ratedSpeedRpm * slipLess;
}

function startsIn(step: DriveStep): number {
  const { length } = step.switchingsS;
  return step.wasOn ? Math.floor(length / 2) : Math.ceil(length / 2);
}

/** Phases are never quite alike; a fault draws the first up and the others down, their mean stays. */
function splitPhases(drive: DriveState, imbalance: number): void {
  drive.phasesA[0] = drive.currentA * (1.004 + imbalance);
  drive.phasesA[1] = drive.currentA * (1.003 - imbalance / 2);
  drive.phasesA[2] = drive.currentA * (0.993 - imbalance / 2);
}

function warm(drive: DriveState, step: DriveStep): void {
  const ratio = drive.currentA / drive.entry.ratedCurrentA;
  // Unbalanced currents heat a motor far more than their mean says (handbook 7.2).
  const unbalance = 1 + 6 * step.phaseImbalance;
  const windingTarget = step.ambientC + WINDING_RISE_C * Math.min(2, ratio * ratio) * unbalance;
  drive.windingC += (windingTarget - drive.windingC) * (1 - Math.exp(-step.stepS / WINDING_TIME_S));
  const friction = drive.meanSpeed * (0.7 + 0.3 * drive.load) * (1 + 2.2 * step.bearingWear);
  const bearingTarget = step.ambientC + BEARING_RISE_C * friction;
  drive.bearingC += (bearingTarget - drive.bearingC) * (1 - Math.exp(-step.stepS / BEARING_TIME_S));
}
