import type { LineLogic } from '../logic/line-logic.ts';
import type { Levers } from './levers.ts';
import type { Upset, UpsetChange } from './upset-file.ts';

/** Plays upsets on the plant: sets levers as time goes by, and stops drives at their exact instants. */
export interface UpsetPlayer {
  begin(upset: Upset, atMs: number): void;
  /** Ends an upset that is being played; false when it is not. */
  end(name: string, atMs: number): boolean;
  /** Sets the levers for the step that begins at `timeMs`. */
  apply(timeMs: number): void;
  playing(): readonly { readonly name: string; readonly beganMs: number }[];
}

interface Playing {
  readonly upset: Upset;
  readonly beganMs: number;
  endedMs: number;
}

export function upsetPlayer(levers: Levers, logic: LineLogic): UpsetPlayer {
  let running: Playing[] = [];

  function hold(change: UpsetChange, reason: string, play: Playing): void {
    const fromMs = play.beganMs + change.afterS * 1000;
    if (change.lever === 'machine-stop') logic.block(change.target, reason, fromMs);
    if (change.lever === 'emergency-stop') logic.pressEmergencyStop(fromMs);
  }

  function release(change: UpsetChange, reason: string, atMs: number): void {
    if (change.lever === 'machine-stop') logic.unblock(change.target, reason, atMs);
    if (change.lever === 'emergency-stop') logic.releaseEmergencyStop(atMs);
  }

  return {
    begin(upset, atMs) {
      if (running.some((play) => play.upset.name === upset.name)) this.end(upset.name, atMs);
      const play = { upset, beganMs: atMs, endedMs: Number.POSITIVE_INFINITY };
      running.push(play);
      for (const change of upset.changes) {
        hold(change, upset.name, play);
        if (change.lastsS !== undefined)
          release(change, upset.name, atMs + (change.afterS + change.lastsS) * 1000);
      }
    },
    end(name, atMs) {
      const ended = running.filter((play) => play.upset.name === name);
      running = running.filter((play) => play.upset.name !== name);
      for (const play of ended) {
        play.endedMs = atMs;
        for (const change of play.upset.changes) release(change, name, atMs);
      }
      return ended.length > 0;
    },
    apply(timeMs) {
      levers.release();
      for (const { upset, beganMs } of running) {
        for (const change of upset.changes) {
          levers.of(change.lever, change.target).value += sizeAt(change, (timeMs - beganMs) / 1000);
        }
      }
      running = running.filter(({ upset, beganMs }) => !isOver(upset, (timeMs - beganMs) / 1000));
    },
    playing: () => running.map(({ upset, beganMs }) => ({ name: upset.name, beganMs })),
  };
}

/** How far a change has gone `elapsedS` after its upset began. */
export function sizeAt(change: UpsetChange, elapsedS: number): number {
  const since = elapsedS - change.afterS;
  if (since < 0 || (change.lastsS !== undefined && since >= change.lastsS)) return 0;
  return change.rampS === 0 ? change.size : change.size * Math.min(1, since / change.rampS);
}

function isOver(upset: Upset, elapsedS: number): boolean {
  return upset.changes.every(
    (change) => change.lastsS !== undefined && elapsedS > change.afterS + change.lastsS,
  );
}
