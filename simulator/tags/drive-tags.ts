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
  const isFan = drive.prefix === 'Fan';
  const [motor, part] = isFan ? ['fan motor', 'fan'] : ['motor', 'motor'];
  const entry = (signal: string, about: string): TagEntry => ({
    node: `${machine}.${drive.prefix}${signal}`,
    kind: 'analog',
    unit: 'A',
    low: 0,
    high: Math.ceil(drive.ratedCurrentA * 8),
    about,
    least: 'full',
  });
  const phases = drive.hasPhases ? ['L1', 'L2', 'L3'] : [];
  return [
    { ...entry('Running', `${motor} contactor closed`), kind: 'contact', unit: '1', high: 1, least: 'poor' },
    { ...entry('MotorCurrent', `${motor} current, mean of phases`), least: currentLeast(machine, drive) },
    ...phases.map((phase) => entry(`MotorCurrent${phase}`, `${motor} current, phase ${phase}`)),
    { ...entry('Speed', `${part} speed`), unit: 'r/min', high: 3000 },
    { ...entry('MotorTemperature', `${motor} winding temperature`), unit: '°C', high: 200 },
    { ...entry('BearingTemperature', `${part} bearing temperature`), unit: '°C', high: 150 },
    { ...entry('Vibration', `${part} bearing housing vibration velocity, r.m.s.`), unit: 'mm/s', high: 50 },
    { ...entry('RunHours', `${motor} run hours`), unit: 'h', high: 1_000_000 },
    { ...entry('Starts', `${motor} starts`), kind: 'counter', unit: '1', high: 1_000_000 },
    ...(isFan ? [{ ...entry('Pressure', 'fan total pressure'), unit: 'Pa' as const, high: 5000 }] : []),
  ];
}

function currentLeast(machine: MachineName, { prefix }: DriveEntry): Profile {
  return CURRENT_LEAST[prefix === '' ? machine : `${machine}.${prefix}`] ?? 'full';
}
