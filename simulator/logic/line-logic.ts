import { randomStream, type RandomStream } from '../physics/random.ts';
import { createAgenda, schedule, workThrough, type Agenda } from './agenda.ts';
import {
  contactNodeOf,
  DRIVES,
  DROP_OUT_MS,
  DROP_OUT_SCATTER_MS,
  machineOf,
  neededBy,
  PUMP_DROP_OUT_MS,
  START_GAP_MS,
  START_SCATTER_MS,
  startOrder,
  stoppedBy,
  type DriveId,
  type OnRoute,
} from './sequence.ts';

/**
 * The plant's hard-wired sequence, at true milliseconds whatever the step of the physics.
 *
 *     running --- block, or what it feeds stopped ---> stopped
 *     stopped --- its blocks gone, operator starts, what it feeds runs ---> running
 *
 * A block is a reason why a drive may not run (a jam, a trip, an emergency stop, a full bin). When one has gone, the
 * operator starts after a while whatever may run, from the bagger upwards; what is still blocked, and what feeds it,
 * waits. So a full bin empties while the machines before it are held.
 */
export interface LineLogic {
  readonly options: LineLogicOptions;
  readonly drives: ReadonlyMap<DriveId, DriveContact>;
  /** Contacts that are not a drive's. */
  readonly contacts: Map<string, boolean>;
  readonly agenda: Agenda;
  changes: ContactChange[];
  /** A new start takes the place of one that is still going on. */
  startAttempt: number;
}

export interface LineLogicOptions {
  readonly seed: number;
  readonly isOnRoute: OnRoute;
  /** How long the operator looks before starting again. */
  readonly restartAfterMs: number;
}

export interface ContactChange {
  readonly node: string;
  readonly value: boolean;
  readonly timeMs: number;
}

interface DriveContact {
  isOn: boolean;
  readonly blocks: Set<string>;
  readonly random: RandomStream;
  switchings: number[];
}

export interface Block {
  readonly drive: DriveId;
  readonly reason: string;
  readonly atMs: number;
}

export function createLineLogic(options: LineLogicOptions): LineLogic {
  return {
    options,
    drives: new Map(DRIVES.map((drive) => [drive, initialContact(drive, options)] as const)),
    contacts: new Map(),
    agenda: createAgenda(),
    changes: [],
    startAttempt: 0,
  };
}

/** Works through all that is due before `untilMs`. */
export function advanceLogic(logic: LineLogic, untilMs: number): void {
  workThrough(logic.agenda, untilMs);
}

export function blockDrive(logic: LineLogic, { drive, reason, atMs }: Block): void {
  schedule(logic.agenda, atMs, (when) => {
    contactOf(logic, drive).blocks.add(reason);
    stop(logic, drive, when);
  });
}

export function unblockDrive(logic: LineLogic, { drive, reason, atMs }: Block): void {
  schedule(logic.agenda, atMs, (when) => {
    if (contactOf(logic, drive).blocks.delete(reason)) startAgain(logic, when);
  });
}

/** Stops every drive at once and holds all of them, as an emergency stop or a controller's restart does. */
export function blockAll(logic: LineLogic, reason: string, atMs: number): void {
  schedule(logic.agenda, atMs, (pressedMs) => {
    for (const [drive, contact] of logic.drives) {
      contact.blocks.add(reason);
      schedule(logic.agenda, pressedMs + 20 + contact.random.uniform() * 60, (when) => {
        switchDrive(logic, { drive, isOn: false, atMs: when });
      });
    }
  });
}

export function unblockAll(logic: LineLogic, reason: string, atMs: number): void {
  schedule(logic.agenda, atMs, (when) => {
    const had = [...logic.drives.values()].filter((contact) => contact.blocks.delete(reason));
    if (had.length > 0) startAgain(logic, when);
  });
}

/** Sets a contact that is not a drive's; it is reported when it changes. */
export function setContact(logic: LineLogic, { node, value, timeMs }: ContactChange): void {
  schedule(logic.agenda, timeMs, (when) => {
    if ((logic.contacts.get(node) ?? false) === value) return;
    logic.contacts.set(node, value);
    logic.changes.push({ node, value, timeMs: Math.round(when) });
  });
}

/** State of any contact: a drive's own or one that was set. */
export function contactValue(logic: LineLogic, node: string): boolean {
  const drive = DRIVE_OF_CONTACT.get(node);
  return drive === undefined ? (logic.contacts.get(node) ?? false) : contactOf(logic, drive).isOn;
}

export function isDriveOn(logic: LineLogic, drive: DriveId): boolean {
  return contactOf(logic, drive).isOn;
}

/** Instants at which the drive switched since the last call, oldest first. */
export function takeSwitchings(logic: LineLogic, drive: DriveId): readonly number[] {
  const contact = contactOf(logic, drive);
  const taken = contact.switchings;
  if (taken.length > 0) contact.switchings = [];
  return taken;
}

/** Contact changes since the last call, oldest first. */
export function takeChanges(logic: LineLogic): readonly ContactChange[] {
  const taken = logic.changes;
  if (taken.length > 0) logic.changes = [];
  return taken;
}

const DRIVE_OF_CONTACT = new Map(DRIVES.map((drive) => [contactNodeOf(drive), drive] as const));

function initialContact(drive: DriveId, options: LineLogicOptions): DriveContact {
  return {
    isOn: options.isOnRoute(machineOf(drive)),
    blocks: new Set(),
    random: randomStream(options.seed, `logic ${drive}`),
    switchings: [],
  };
}

function contactOf(logic: LineLogic, drive: DriveId): DriveContact {
  const contact = logic.drives.get(drive);
  if (contact === undefined) throw new RangeError(`no such drive: ${drive}`);
  return contact;
}

function switchDrive(
  logic: LineLogic,
  { drive, isOn, atMs }: { readonly drive: DriveId; readonly isOn: boolean; readonly atMs: number },
): void {
  const contact = contactOf(logic, drive);
  if (contact.isOn === isOn) return;
  contact.isOn = isOn;
  contact.switchings.push(atMs);
  logic.changes.push({ node: contactNodeOf(drive), value: isOn, timeMs: Math.round(atMs) });
}

function stop(logic: LineLogic, drive: DriveId, atMs: number): void {
  if (!contactOf(logic, drive).isOn) return;
  switchDrive(logic, { drive, isOn: false, atMs });
  for (const follower of stoppedBy(drive, logic.options.isOnRoute)) {
    const scatter = contactOf(logic, follower).random.uniform() * DROP_OUT_SCATTER_MS;
    schedule(logic.agenda, atMs + (DROP_OUT_MS[follower] ?? PUMP_DROP_OUT_MS) + scatter, (when) => {
      stop(logic, follower, when);
    });
  }
}

function startAgain(logic: LineLogic, atMs: number): void {
  logic.startAttempt += 1;
  const attempt = logic.startAttempt;
  schedule(logic.agenda, atMs + logic.options.restartAfterMs, (when) => {
    startFrom(logic, { position: 0, attempt, atMs: when });
  });
}

interface Starting {
  readonly position: number;
  readonly attempt: number;
  readonly atMs: number;
}

function startFrom(logic: LineLogic, { position, attempt, atMs }: Starting): void {
  if (attempt !== logic.startAttempt) return;
  const order = startOrder();
  const ahead = order.slice(position).findIndex((drive) => isWaiting(logic, drive) && mayStart(logic, drive));
  const drive = order[position + ahead];
  if (ahead === -1 || drive === undefined) return;
  switchDrive(logic, { drive, isOn: true, atMs });
  const gapMs = START_GAP_MS + contactOf(logic, drive).random.uniform() * START_SCATTER_MS;
  schedule(logic.agenda, atMs + gapMs, (when) => {
    startFrom(logic, { position: position + ahead + 1, attempt, atMs: when });
  });
}

function isWaiting(logic: LineLogic, drive: DriveId): boolean {
  return !contactOf(logic, drive).isOn && logic.options.isOnRoute(machineOf(drive));
}

function mayStart(logic: LineLogic, drive: DriveId): boolean {
  return (
    contactOf(logic, drive).blocks.size === 0 &&
    neededBy(drive, logic.options.isOnRoute).every((other) => contactOf(logic, other).isOn)
  );
}
