import type { ZoneLimits } from '../calc/condition/vibration-zone.ts';
import { medianOf } from '../calc/statistics/median-of.ts';

/** A vibration that somebody measured by hand on the bearing housing. */
export interface HandReading {
  readonly timeMs: number;
  readonly mmPerS: number;
}

export interface HandFinding {
  readonly foundMs: number;
  /** How far the reading lies above what it was while the machine was well, mm/s. */
  readonly change: number;
  readonly reason: 'changed' | 'zone-d';
}

/** ISO 20816-1: a change beyond a quarter of the limit between zones B and C is significant, inside zone B too. */
const CHANGE_SHARE = 0.25;
/** What hand readings need before they can be compared. */
const HEALTHY_MIN = 2;

/** The first of later hand readings that says something has changed, against those of a healthy period; null if none. */
export function handFinding(
  healthy: readonly HandReading[],
  later: readonly HandReading[],
  limits: ZoneLimits,
): HandFinding | null {
  const usual = healthy.length < HEALTHY_MIN ? null : medianOf(healthy.map(({ mmPerS }) => mmPerS));
  for (const { timeMs, mmPerS } of later) {
    const change = mmPerS - (usual ?? mmPerS);
    if (mmPerS > limits.cd) return { foundMs: timeMs, change, reason: 'zone-d' };
    if (change > CHANGE_SHARE * limits.bc) return { foundMs: timeMs, change, reason: 'changed' };
  }
  return null;
}
