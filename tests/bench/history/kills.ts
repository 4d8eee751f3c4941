import { CRASH_POINTS } from '#server/history/engine/crash-point.ts';
import { lookFor, runUntilKilled, type Death } from '../../support/crash-runs.ts';

export interface Kills {
  readonly lost: number;
  readonly torn: number;
  readonly refused: number;
  readonly slowestOpenMs: number;
  readonly count: number;
}

/** Kills the recorder at each point in turn and at random in between, all on one folder. */
export async function killed(folder: string, count: number, seed: number): Promise<Kills> {
  const points = CRASH_POINTS.filter((point) => point !== 'retention-durable');
  let kills: Kills = { lost: 0, torn: 0, refused: 0, slowestOpenMs: 0, count: 0 };
  let durable = -1;
  for (let i = 0; i < count; i++) {
    const at = points[(i >> 1) % points.length] ?? 'batch-durable';
    const death: Death =
      i % 2 === 0 ? { at, passes: (i * 7 + seed) % 3 } : { afterMs: 20 + ((i * 7919 + seed) % 500) };
    durable = Math.max(durable, await runUntilKilled(folder, death));
    const found = lookFor(folder, durable);
    kills = {
      lost: kills.lost + found.lost,
      torn: kills.torn + found.torn,
      refused: kills.refused + found.refused,
      slowestOpenMs: Math.max(kills.slowestOpenMs, found.openedInMs),
      count: i + 1,
    };
  }
  return kills;
}
