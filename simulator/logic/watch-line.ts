import type { DriveSurroundings, Plant } from '../plant-state.ts';
import { binLevels } from '../routes.ts';
import { blockDrive, contactValue, isDriveOn, setContact, unblockDrive } from './line-logic.ts';

const ELEVATORS = ['Elevator1', 'Elevator2', 'Elevator3'] as const;
const CHUTES = ['Scalper', 'AirScreen', 'Sizer', 'GravityTable'] as const;
/**
 * A leg is shut down when its belt has slowed by 20 %.
 *
 * Source   29 CFR 1910.272(q), handbook 7.3, check C12
 */
const LEAST_BELT_RATIO = 0.8;
const RELAY_MS = 120;
const HOPPER_HIGH_KG = 320;
const HOPPER_CLEAR_KG = 150;
const OVERLOAD_RATIO = 1.15;
const OVERLOAD_HELD_MS = 60_000;

/** Looks at switches, levels and currents at the end of a step and stops or frees what the interlocks say. */
export function watchLine(plant: Plant, atMs: number): void {
  for (const machine of ['LengthGrader', 'Spiral', 'ColourSorter']) {
    show(plant, `${machine}.Bypassed`, { value: !plant.logic.options.isOnRoute(machine), atMs });
  }
  watchBin(plant, atMs);
  watchHopper(plant, atMs);
  for (const elevator of ELEVATORS) watchElevator(plant, elevator, atMs);
  for (const machine of CHUTES) {
    const isPlugged = plant.levers.size('plugged-chute', machine) > 0.5;
    holdWhile(plant, { node: `${machine}.ChutePlugged`, drive: machine, isBad: isPlugged, atMs });
  }
  watchOverloads(plant, atMs);
}

/** Shows what a switch says; nothing is done while it says the same as before. */
function show(plant: Plant, node: string, change: { readonly value: boolean; readonly atMs: number }): void {
  if (contactValue(plant.logic, node) === change.value) return;
  setContact(plant.logic, { node, value: change.value, timeMs: change.atMs });
}

interface Hold {
  readonly node: string;
  readonly drive: string;
  readonly isBad: boolean;
  readonly atMs: number;
}

/** Shows a switch and holds a drive stopped as long as the switch says so. */
function holdWhile(plant: Plant, { node, drive, isBad, atMs }: Hold): void {
  if (contactValue(plant.logic, node) === isBad) return;
  setContact(plant.logic, { node, value: isBad, timeMs: atMs });
  const block = { drive, reason: node, atMs: atMs + RELAY_MS };
  if (isBad) blockDrive(plant.logic, block);
  else unblockDrive(plant.logic, block);
}

function watchBin(plant: Plant, atMs: number): void {
  const { highKg, clearKg } = binLevels(plant.options.run);
  const level = plant.treating.cleanBin.contentsKg();
  const wasHigh = contactValue(plant.logic, 'CleanBin.HighLevel');
  const isBad = wasHigh ? level > clearKg : level >= highKg;
  holdWhile(plant, { node: 'CleanBin.HighLevel', drive: 'GravityTable', isBad, atMs });
  const isWrong = plant.levers.size('wrong-gate', 'CleanBin') > 0;
  show(plant, 'CleanBin.DivertedToOther', { value: isWrong, atMs });
}

function watchHopper(plant: Plant, atMs: number): void {
  const level = plant.treating.hopper.contentsKg();
  const wasHigh = contactValue(plant.logic, 'Bagger.HopperHigh');
  const isBad = wasHigh ? level > HOPPER_CLEAR_KG : level >= HOPPER_HIGH_KG;
  holdWhile(plant, { node: 'Bagger.HopperHigh', drive: 'Dryer', isBad, atMs });
}

/** Belt speed as a ratio of full speed: the motor's, less slip, less what a plugged boot takes. */
export function beltRatio(plant: DriveSurroundings, elevator: string): number {
  const speed = plant.drives.get(elevator)?.speed ?? 0;
  const slip = plant.levers.size('elevator-slip', elevator);
  return speed * (1 - slip) * (1 - 0.35 * plant.levers.size('plugged-leg', elevator));
}

function watchElevator(plant: Plant, elevator: string, atMs: number): void {
  const { logic, levers } = plant;
  const isUpToSpeed = beltRatio(plant, elevator) >= LEAST_BELT_RATIO;
  show(plant, `${elevator}.SpeedOk`, { value: isUpToSpeed, atMs });
  const isPlugged = levers.size('plugged-leg', elevator) > 0.5;
  show(plant, `${elevator}.BootPlugged`, { value: isPlugged, atMs });
  const slowedBy =
    1 - (1 - levers.size('elevator-slip', elevator)) * (1 - 0.35 * levers.size('plugged-leg', elevator));
  const isHeld = logic.drives.get(elevator)?.blocks.has('slow belt') ?? false;
  const isSlow = slowedBy > 1 - LEAST_BELT_RATIO;
  const block = { drive: elevator, reason: 'slow belt', atMs: atMs + RELAY_MS };
  if (isSlow && !isHeld && isDriveOn(logic, elevator)) blockDrive(logic, block);
  if (!isSlow && isHeld) unblockDrive(logic, block);
}

/** The thermal relay of a drive that is loaded far above its rating opens, and is reset after a minute. */
function watchOverloads(plant: Plant, atMs: number): void {
  for (const [drive, state] of plant.drives) {
    if (!isDriveOn(plant.logic, drive) || state.meanSpeed < 1 || state.load <= OVERLOAD_RATIO) continue;
    const reason = 'overload';
    if (plant.logic.drives.get(drive)?.blocks.has(reason) === true) continue;
    blockDrive(plant.logic, { drive, reason, atMs: atMs + RELAY_MS });
    unblockDrive(plant.logic, { drive, reason, atMs: atMs + OVERLOAD_HELD_MS });
  }
}
