/**
 * The machines of Quillmarsh Station in line order, with their drives as the motor list gives them.
 *
 * Rated currents are for 400 V, 50 Hz four-pole motors of the size shown (invented plant, sizes as is common
 * practice, no source).
 */

export interface DriveEntry {
  /** Empty for the machine's own motor; `Fan` for its fan. Stands before the signal's name. */
  readonly prefix: '' | 'Fan';
  readonly ratedKw: number;
  readonly ratedCurrentA: number;
  readonly ratedSpeedRpm: number;
  /** Larger motors have each phase measured. */
  readonly hasPhases: boolean;
  readonly ratedPressurePa?: number;
}

export interface MachineEntry {
  readonly name: MachineName;
  readonly drives: readonly DriveEntry[];
}

export type MachineName =
  | 'Intake'
  | 'Elevator1'
  | 'Scalper'
  | 'AirScreen'
  | 'Aspirator'
  | 'LengthGrader'
  | 'Sizer'
  | 'Elevator2'
  | 'Destoner'
  | 'GravityTable'
  | 'Elevator3'
  | 'Treater'
  | 'Dryer'
  | 'Bagger'
  | 'DustSystem';

export const MACHINES: readonly MachineEntry[] = [
  { name: 'Intake', drives: [motor(2.2, 4.9, 1420)] },
  { name: 'Elevator1', drives: [withPhases(motor(7.5, 14.8, 1455))] },
  { name: 'Scalper', drives: [motor(3, 6.4, 1435)] },
  { name: 'AirScreen', drives: [motor(5.5, 11.2, 1450), fan(11, 21.3, [1460, 1800])] },
  { name: 'Aspirator', drives: [motor(1.5, 3.5, 1410), fan(11, 21.3, [1460, 2100])] },
  { name: 'LengthGrader', drives: [motor(4, 8.3, 1440)] },
  { name: 'Sizer', drives: [motor(4, 8.3, 1440)] },
  { name: 'Elevator2', drives: [withPhases(motor(7.5, 14.8, 1455))] },
  { name: 'Destoner', drives: [motor(3, 6.4, 1435), fan(7.5, 14.8, [1455, 1500])] },
  { name: 'GravityTable', drives: [motor(4, 8.3, 1440), fan(15, 28.5, [1465, 1900])] },
  { name: 'Elevator3', drives: [withPhases(motor(5.5, 11.2, 1450))] },
  { name: 'Treater', drives: [motor(3, 6.4, 1435)] },
  { name: 'Dryer', drives: [motor(2.2, 4.9, 1420), fan(18.5, 34.5, [1470, 1600])] },
  { name: 'Bagger', drives: [motor(2.2, 4.9, 1420)] },
  { name: 'DustSystem', drives: [motor(1.1, 2.6, 1400), fan(22, 41, [1470, 2600])] },
];

function motor(ratedKw: number, ratedCurrentA: number, ratedSpeedRpm: number): DriveEntry {
  return { prefix: '', ratedKw, ratedCurrentA, ratedSpeedRpm, hasPhases: false };
}

function withPhases(drive: DriveEntry): DriveEntry {
  return { ...drive, hasPhases: true };
}

function fan(ratedKw: number, ratedCurrentA: number, rated: readonly [rpm: number, pa: number]): DriveEntry {
  const [ratedSpeedRpm, ratedPressurePa] = rated;
  return { prefix: 'Fan', ratedKw, ratedCurrentA, ratedSpeedRpm, hasPhases: ratedKw >= 11, ratedPressurePa };
}
