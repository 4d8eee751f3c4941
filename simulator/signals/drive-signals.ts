import { shaftRpm, type DriveState } from '../drives/drive.ts';
import { fanStandingOf } from '../drives/standing.ts';
import { machineOf, type DriveId } from '../logic/sequence.ts';
import { fanPoint } from '../physics/fan.ts';
import type { DriveSurroundings } from '../plant-state.ts';
import type { Signal } from './signal.ts';

/** Current, speed, temperatures, vibration, hours and starts of every motor; pressure of every fan. */
export function driveSignals(plant: DriveSurroundings): Signal[] {
  return [...plant.drives].flatMap(([id, drive]) => [
    ...motorSignals(id, drive),
    ...(drive.entry.ratedPressurePa === undefined ? [] : [pressureSignal(plant, id, drive)]),
  ]);
}

function motorSignals(id: DriveId, drive: DriveState): Signal[] {
  const node = nodeOf(id);
  return [
    [node('MotorCurrent'), () => drive.currentA],
    [node('MotorCurrentL1'), () => drive.phasesA[0]],
    [node('MotorCurrentL2'), () => drive.phasesA[1]],
    [node('MotorCurrentL3'), () => drive.phasesA[2]],
    [node('Speed'), () => shaftRpm(drive)],
    [node('MotorTemperature'), () => drive.windingC],
    [node('BearingTemperature'), () => drive.bearingC],
    [node('Vibration'), () => drive.vibrationMmPerS],
    [node('RunHours'), () => drive.runHours],
    [node('Starts'), () => drive.starts],
  ];
}

function pressureSignal(plant: DriveSurroundings, id: DriveId, drive: DriveState): Signal {
  const machine = machineOf(id);
  const designPa = (drive.entry.ratedPressurePa ?? 0) * DESIGN_SHARE;
  return [
    nodeOf(id)('Pressure'),
    () => designPa * fanPoint(fanStandingOf(plant, machine, drive.speed)).pressure,
  ];
}

/** Fans run at this share of what they could. */
const DESIGN_SHARE = 0.8;

function nodeOf(id: DriveId): (signal: string) => string {
  const [machine = '', prefix = ''] = id.split('.');
  return (signal) => `${machine}.${prefix}${signal}`;
}
