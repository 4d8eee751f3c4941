import { randomStream, type RandomStream } from '../physics/random.ts';
import type { MachineName } from '../tags/machine-list.ts';
import {
  contactNodeOf,
  DRIVES,
  DROP_OUT_MS,
  DROP_OUT_SCATTER_MS,
  neededBy,
  PUMP_DROP_OUT_MS,
  START_GAP_MS,
  START_SCATTER_MS,
  startOrder,
  stoppedBy,
  type DriveId,
} from './sequence.ts';

export interface ContactChange {
  readonly node: string;
  readonly value: boolean;
  readonly timeMs: number;
}

/**
 * The plant's hard-wired sequence, at true milliseconds whatever the step of the physics.
 *
 *     running --- block, or what it feeds stopped ---> stopped
 *     stopped --- all blocks gone, operator starts, what it feeds runs ---> running
 *
 * A block is a reason why a drive may not run (a jam, a trip, an emergency stop, a full bin). When the last one
 * has gone, the operator starts the line again after a while, from the bagger upwards.
 */
export interface LineLogic {
  block(drive: DriveId, reason: string, atMs: number): void;
  unblock(drive: DriveId, reason: string, atMs: number): void;
  /** Stops every drive at once and holds them until released. */
  pressEmergencyStop(atMs: number): void;
  releaseEmergencyStop(atMs: number): void;
  /** A contact that is not a drive's: reported when it changes. */
  setContact(node: string, value: boolean, atMs: number): void;
  contact(node: string): boolean;
  /** State of any contact: a drive's own or one set by the plant. */
  contactValue(node: string): boolean;
  /** Works through all that is due before `untilMs`. */
  advance(untilMs: number): void;
  isOn(drive: DriveId): boolean;
  /** Instants at which the drive changed since the last call, oldest first. */
  takeSwitchings(drive: DriveId): readonly number[];
  /** Contact changes since the last call, oldest first. */
  takeChanges(): readonly ContactChange[];
}

export interface LineLogicOptions {
  readonly seed: number;
  readonly isOnRoute: (machine: MachineName) => boolean;
  /** How long the operator looks before starting again. */
  readonly restartAfterMs: number;
}

interface Due {
  readonly atMs: number;
  readonly order: number;
  readonly run: (atMs: number) => void;
}

interface DriveState {
  isOn: boolean;
  readonly blocks: Set<string>;
  readonly random: RandomStream;
  switchings: number[];
}

export function lineLogic(options: LineLogicOptions): LineLogic {
  const states = new Map<DriveId, DriveState>(
    DRIVES.map((drive) => [drive, initialState(drive, options)] as const),
  );
  const driveOfContact = new Map([...states].map(([drive, state]) => [contactNodeOf(drive), state] as const));
  const contacts = new Map<string, boolean>();
  const agenda: Due[] = [];
  let changes: ContactChange[] = [];
  let scheduled = 0;
  /** A stop while the line is being started cancels the rest of that start. */
  let startAttempt = 0;

  function schedule(atMs: number, run: Due['run']): void {
    scheduled += 1;
    const due = { atMs, order: scheduled, run };
    const after = agenda.findIndex((other) => other.atMs > atMs);
    agenda.splice(after === -1 ? agenda.length : after, 0, due);
  }

  function stateOf(drive: DriveId): DriveState {
    const state = states.get(drive);
    if (state === undefined)
      throw new RangeError(`SIM_DRIVE ${drive}: got an unknown drive, expected one of DRIVES`);
    return state;
  }

  function switchDrive(drive: DriveId, isOn: boolean, atMs: number): void {
    const state = stateOf(drive);
    if (state.isOn === isOn) return;
    state.isOn = isOn;
    state.switchings.push(atMs);
    changes.push({ node: contactNodeOf(drive), value: isOn, timeMs: Math.round(atMs) });
  }

  function stopNow(drive: DriveId, atMs: number): void {
    if (!stateOf(drive).isOn) return;
    startAttempt += 1;
    switchDrive(drive, false, atMs);
    for (const follower of stoppedBy(drive, options.isOnRoute)) {
      const scatter = stateOf(follower).random.uniform() * DROP_OUT_SCATTER_MS;
      schedule(atMs + (DROP_OUT_MS[follower] ?? PUMP_DROP_OUT_MS) + scatter, (when) => {
        stopNow(follower, when);
      });
    }
  }

  function mayStart(drive: DriveId): boolean {
    const isAhead = (other: DriveId) => stateOf(other).isOn;
    return stateOf(drive).blocks.size === 0 && neededBy(drive, options.isOnRoute).every(isAhead);
  }

  function startFrom(position: number, attempt: number, atMs: number): void {
    const order = startOrder();
    const rest = order.slice(position).findIndex((drive) => !stateOf(drive).isOn && isStartable(drive));
    const drive = order[position + rest];
    if (rest === -1 || drive === undefined || attempt !== startAttempt) return;
    if (mayStart(drive)) switchDrive(drive, true, atMs);
    const gap = START_GAP_MS + stateOf(drive).random.uniform() * START_SCATTER_MS;
    schedule(atMs + gap, (when) => {
      startFrom(position + rest + 1, attempt, when);
    });
  }

  function isStartable(drive: DriveId): boolean {
    const [machine = ''] = drive.split('.');
    return options.isOnRoute(machine as MachineName);
  }

  function startWhenClear(atMs: number): void {
    if ([...states.values()].some((state) => state.blocks.size > 0)) return;
    startAttempt += 1;
    const attempt = startAttempt;
    schedule(atMs + options.restartAfterMs, (when) => {
      startFrom(0, attempt, when);
    });
  }

  function setContact(node: string, value: boolean, atMs: number): void {
    if ((contacts.get(node) ?? false) === value) return;
    contacts.set(node, value);
    changes.push({ node, value, timeMs: Math.round(atMs) });
  }

  const logic: LineLogic = {
    block(drive, reason, atMs) {
      schedule(atMs, (when) => {
        stateOf(drive).blocks.add(reason);
        stopNow(drive, when);
      });
    },
    unblock(drive, reason, atMs) {
      schedule(atMs, (when) => {
        if (stateOf(drive).blocks.delete(reason)) startWhenClear(when);
      });
    },
    pressEmergencyStop(atMs) {
      setContact('Plant.EmergencyStop', true, atMs);
      for (const [drive, state] of states) {
        state.blocks.add('emergency stop');
        schedule(atMs + 20 + state.random.uniform() * 60, (when) => {
          switchDrive(drive, false, when);
        });
      }
    },
    releaseEmergencyStop(atMs) {
      setContact('Plant.EmergencyStop', false, atMs);
      for (const state of states.values()) state.blocks.delete('emergency stop');
      startWhenClear(atMs);
    },
    setContact,
    contact: (node) => contacts.get(node) ?? false,
    contactValue: (node) => driveOfContact.get(node)?.isOn ?? contacts.get(node) ?? false,
    advance(untilMs) {
      for (let due = agenda[0]; due !== undefined && due.atMs < untilMs; due = agenda[0]) {
        agenda.shift();
        due.run(due.atMs);
      }
    },
    isOn: (drive) => stateOf(drive).isOn,
    takeSwitchings(drive) {
      const state = stateOf(drive);
      const taken = state.switchings;
      if (taken.length > 0) state.switchings = [];
      return taken;
    },
    takeChanges() {
      const taken = changes;
      if (taken.length > 0) changes = [];
      return taken;
    },
  };
  return logic;
}

function initialState(drive: DriveId, options: LineLogicOptions): DriveState {
  const [machine = ''] = drive.split('.');
  return {
    isOn: options.isOnRoute(machine as MachineName),
    blocks: new Set(),
    random: randomStream(options.seed, `logic ${drive}`),
    switchings: [],
  };
}
