import { MACHINES, type DriveEntry, type MachineName } from './machine-list.ts';
import type { Profile, TagEntry } from './tag-entry.ts';

/** Motors whose current a plant with few instruments still measures. */
const CURRENT_LEAST: Readonly<Record<string, Profile>> = {
  Elevator1: 'poor',
  Elevator2: 'typical',
  Elevator3: 'typical',
  'AirScreen.Fan': 'typical',
  'GravityTable.Fan': 'typical',
  GravityTable: 'typical',
  'Dryer.Fan': 'typical',
};

/** The points every motor has: contact, current, speed, temperatures, vibration, hours, starts. */
export function driveTags(): TagEntry[] {
  return MACHINES.flatMap(({ name, drives }) => drives.flatMap((drive) => tagsOfDrive(name, drive)));
}

function tagsOfDrive(machine: MachineName, drive: DriveEntry): TagEntry[] {
  const node = (signal: string) => `${machine}.${drive.prefix}${signal}`;
  const what = drive.prefix === 'Fan' ? 'fan motor' : 'motor';
  const part = drive.prefix === 'Fan' ? 'fan' : 'motor';
  const currentLeast = CURRENT_LEAST[drive.prefix === '' ? machine : `${machine}.${drive.prefix}`] ?? 'full';
  const analog = (signal: string, unit: TagEntry['unit'], high: number, about: string): TagEntry => ({
    node: node(signal),
    kind: 'analog',
    unit,
    low: 0,
    high,
    about,
    least: 'full',
  });
  const currentHigh = Math.ceil(drive.ratedCurrentA * 8);
  const running: TagEntry = {
    node: node('Running'),
    kind: 'contact',
    unit: '1',
    low: 0,
    high: 1,
    about: `${what} contactor closed`,
    least: 'poor',
  };
  return [
    running,
    { ...analog('MotorCurrent', 'A', currentHigh, `${what} current, mean of phases`), least: currentLeast },
    ...(drive.hasPhases
      ? ['L1', 'L2', 'L3'].map((phase) =>
          analog(`MotorCurrent${phase}`, 'A', currentHigh, `${what} current, phase ${phase}`),
        )
      : []),
    analog('Speed', 'r/min', 3000, `${part} speed`),
    analog('MotorTemperature', '°C', 200, `${what} winding temperature`),
    analog('BearingTemperature', '°C', 150, `${part} bearing temperature`),
    analog('Vibration', 'mm/s', 50, `${part} bearing housing vibration velocity, r.m.s.`),
    { ...analog('RunHours', 'h', 1_000_000, `${what} run hours`), kind: 'analog' },
    { ...analog('Starts', '1', 1_000_000, `${what} starts`), kind: 'counter' },
    ...(drive.prefix === 'Fan' ? [analog('Pressure', 'Pa', 5000, 'fan total pressure')] : []),
  ];
}
