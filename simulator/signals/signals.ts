import type { Plant } from '../plant.ts';
import { driveSignals } from './drive-signals.ts';
import { machineSignals } from './machine-signals.ts';
import { massSignals } from './mass-signals.ts';

/** A signal's name and what really is, at the place where its instrument sits. */
export type Signal = readonly [node: string, truth: () => number];

/**
 * What is true at every analog and counter instrument. Contacts come from the logic, and a scale's totaliser from
 * what the scale itself indicates.
 */
export function signalsOf(plant: Plant): ReadonlyMap<string, () => number> {
  return new Map([...massSignals(plant), ...machineSignals(plant), ...driveSignals(plant)]);
}
