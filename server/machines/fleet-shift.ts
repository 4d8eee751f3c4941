import { medianOf } from '../calc/statistics/median-of.ts';

/** Fewer machines have nothing in common that could be told from their own. */
const FLEET_MIN = 5;

/**
 * By how much a signal has moved on all machines at once: the middle of their residuals at one instant. Supply voltage and
 * weather move many machines alike; a fault moves one. Null with fewer than five machines.
 */
export function fleetShift(residuals: readonly number[]): number | null {
  return residuals.length < FLEET_MIN ? null : medianOf(residuals);
}
