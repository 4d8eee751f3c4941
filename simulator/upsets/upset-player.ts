import {
  blockAll,
  blockDrive,
  setContact,
  unblockAll,
  unblockDrive,
  type LineLogic,
} from '../logic/line-logic.ts';
import { randomStream, type RandomStream } from '../physics/random.ts';
import type { Levers } from './levers.ts';
import type { Upset, UpsetChange } from './upset.ts';

/** Plays upsets on the plant: sets levers as time goes by, and stops drives at their exact instants. */
export interface UpsetPlayer {
  readonly levers: Levers;
  readonly logic: LineLogic;
  playing: readonly Playing[];
}

interface Playing {
  readonly upset: Upset;
  readonly beganMs: number;
  readonly random: RandomStream;
}

export function createUpsetPlayer(levers: Levers, logic: LineLogic): UpsetPlayer {
  return { levers, logic, playing: [] };
}

/** Begins an upset; one that is being played begins anew. */
export function beginUpset(player: UpsetPlayer, upset: Upset, atMs: number): void {
  endUpset(player, upset.name, atMs);
  player.playing = [
    ...player.playing,
    { upset, beganMs: atMs, random: randomStream(upset.seed, upset.name) },
  ];
  for (const change of upset.changes) {
    const fromMs = atMs + change.afterS * 1000;
    hold(player.logic, { change, reason: upset.name, atMs: fromMs });
    if (change.lastsS === undefined) continue;
    release(player.logic, { change, reason: upset.name, atMs: fromMs + change.lastsS * 1000 });
  }
}

/** Ends an upset; nothing happens when it is not being played. */
export function endUpset(player: UpsetPlayer, name: string, atMs: number): void {
  for (const { upset } of player.playing) {
    if (upset.name !== name) continue;
    for (const change of upset.changes) release(player.logic, { change, reason: name, atMs });
  }
  player.playing = player.playing.filter(({ upset }) => upset.name !== name);
}

/** Sets the levers for the step that begins at `timeMs`, and forgets what is over. */
export function pullLevers(player: UpsetPlayer, timeMs: number): void {
  player.levers.release();
  for (const { upset, beganMs, random } of player.playing) {
    for (const change of upset.changes) {
      const unsteady = change.flutter === 0 ? 1 : Math.max(0, 1 + change.flutter * random.normal());
      const size = sizeAt(change, (timeMs - beganMs) / 1000) * unsteady;
      if (size !== 0) player.levers.pull({ kind: change.lever, target: change.target, size });
    }
  }
  if (player.playing.length === 0) return;
  player.playing = player.playing.filter(({ upset, beganMs }) => !isOver(upset, (timeMs - beganMs) / 1000));
}

/** How far a change has gone `elapsedS` after its upset began. */
export function sizeAt(change: UpsetChange, elapsedS: number): number {
  const since = elapsedS - change.afterS;
  if (since < 0 || (change.lastsS !== undefined && since >= change.lastsS)) return 0;
  return change.rampS === 0 ? change.size : change.size * Math.min(1, since / change.rampS);
}

interface Instant {
  readonly change: UpsetChange;
  readonly reason: string;
  readonly atMs: number;
}

/** Levers that stop drives do so at their instant, not at the next step. */
function hold(logic: LineLogic, { change, reason, atMs }: Instant): void {
  if (change.lever === 'machine-stop') blockDrive(logic, { drive: change.target, reason, atMs });
  if (change.lever === 'plc-restart') blockAll(logic, reason, atMs);
  if (change.lever !== 'emergency-stop') return;
  setContact(logic, { node: 'Plant.EmergencyStop', value: true, timeMs: atMs });
  blockAll(logic, reason, atMs);
}

function release(logic: LineLogic, { change, reason, atMs }: Instant): void {
  if (change.lever === 'machine-stop') unblockDrive(logic, { drive: change.target, reason, atMs });
  if (change.lever === 'plc-restart') unblockAll(logic, reason, atMs);
  if (change.lever !== 'emergency-stop') return;
  setContact(logic, { node: 'Plant.EmergencyStop', value: false, timeMs: atMs });
  unblockAll(logic, reason, atMs);
}

function isOver({ changes }: Upset, elapsedS: number): boolean {
  return changes.every(({ lastsS, afterS }) => lastsS !== undefined && elapsedS > afterS + lastsS);
}
