import { MACHINES, type MachineName } from '../tags/machine-list.ts';

/** A drive's id: the machine's name, with `.Fan`, `.PumpA` ... for what is not its own motor. */
export type DriveId = string;

export function driveId(machine: MachineName, prefix: string): DriveId {
  return prefix === '' ? machine : `${machine}.${prefix}`;
}

export function contactNodeOf(drive: DriveId): string {
  const [machine = '', prefix = ''] = drive.split('.');
  return `${machine}.${prefix}Running`;
}

export function machineOf(drive: DriveId): string {
  return drive.split('.')[0] ?? drive;
}

/** Whether the lot's route passes a machine; gates send it past the others. */
export type OnRoute = (machine: string) => boolean;

export const PUMPS: readonly DriveId[] = ['Treater.PumpA', 'Treater.PumpB', 'Treater.PumpC'];

export const DRIVES: readonly DriveId[] = [
  ...MACHINES.flatMap(({ name, drives }) => drives.map((drive) => driveId(name, drive.prefix))),
  ...PUMPS,
];

/** The two trains of machines, each in the order the seed takes; the clean bin lies between them. */
export const CLEANING = [
  'Intake',
  'Elevator1',
  'Scalper',
  'AirScreen',
  'Aspirator',
  'LengthGrader',
  'Sizer',
  'Elevator2',
  'Destoner',
  'GravityTable',
] as const satisfies readonly MachineName[];
export const TREATING: readonly MachineName[] = ['Elevator3', 'Treater', 'Dryer', 'Bagger'];

/** Without its fan a machine does not separate, dry or keep its dust in; without dust extraction nothing is fed. */
const STOPPED_BY_FAN: Readonly<Record<DriveId, DriveId>> = {
  'AirScreen.Fan': 'AirScreen',
  'Aspirator.Fan': 'Aspirator',
  'Destoner.Fan': 'Destoner',
  'GravityTable.Fan': 'GravityTable',
  'Dryer.Fan': 'Dryer',
  'DustSystem.Fan': 'DustSystem',
  DustSystem: 'Intake',
};

/** What stops because `drive` has stopped, nearest first. `isOnRoute` leaves out what a gate sends the lot past. */
export function stoppedBy(drive: DriveId, isOnRoute: OnRoute): readonly DriveId[] {
  const followers: DriveId[] = drive === 'Treater' ? [...PUMPS] : [];
  const next = STOPPED_BY_FAN[drive] ?? feederOf(drive, isOnRoute);
  if (next !== undefined) followers.push(next);
  return followers;
}

/** What `drive` needs running before it may start; the clean bin's level is asked elsewhere. */
export function neededBy(drive: DriveId, isOnRoute: OnRoute): readonly DriveId[] {
  const fans = Object.entries(STOPPED_BY_FAN).flatMap(([fan, machine]) => (machine === drive ? [fan] : []));
  const pumped = PUMPS.includes(drive) ? ['Treater'] : [];
  const takers = [...CLEANING, ...TREATING].filter(
    (other) => isOnRoute(other) && feederOf(other, isOnRoute) === drive,
  );
  return [...fans, ...pumped, ...takers];
}

/** The order in which a stopped line is started: from the bagger upwards, each machine's fan before it. */
export function startOrder(): readonly DriveId[] {
  const machines = [...CLEANING, ...TREATING].reverse();
  const drives = machines.flatMap((machine) => {
    const own = DRIVES.filter((drive) => drive === machine || drive === `${machine}.Fan`);
    return machine === 'Treater' ? [...own, ...PUMPS] : own.reverse();
  });
  return ['DustSystem.Fan', 'DustSystem', ...drives];
}

function feederOf(drive: DriveId, isOnRoute: OnRoute): DriveId | undefined {
  const train = [CLEANING, TREATING].find((machines) => machines.some((machine) => machine === drive));
  if (train === undefined) return undefined;
  return train
    .slice(
      0,
      train.findIndex((machine) => machine === drive),
    )
    .findLast(isOnRoute);
}

/** Time for relay and contactor to drop out once the machine ahead has stopped, ms. Invented, tens to hundreds. */
export const DROP_OUT_MS: Readonly<Record<DriveId, number>> = {
  Intake: 70,
  Elevator1: 210,
  Scalper: 95,
  AirScreen: 140,
  Aspirator: 85,
  LengthGrader: 120,
  Sizer: 110,
  Elevator2: 230,
  Destoner: 90,
  GravityTable: 130,
  Elevator3: 220,
  Treater: 80,
  Dryer: 150,
  Bagger: 60,
  DustSystem: 160,
};
export const PUMP_DROP_OUT_MS = 35;
/** Drop-out times scatter upwards by at most this much, ms. */
export const DROP_OUT_SCATTER_MS = 25;
/** Pause between two starts, so that the inrush of one motor has gone before the next, ms. */
export const START_GAP_MS = 2500;
export const START_SCATTER_MS = 400;
