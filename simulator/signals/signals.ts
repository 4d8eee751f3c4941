import type { Plant } from '../plant-state.ts';
import { driveSignals } from './drive-signals.ts';
import { machineSignals } from './machine-signals.ts';
import { massSignals } from './mass-signals.ts';

/**
 * What is true at every analog and counter instrument. Contacts come from the logic, and a scale's totaliser from
 * what the scale itself indicates.
 */
export function signalsOf(plant: Plant): ReadonlyMap<string, () => number> {
  return new Map([...massSignals(plant), ...machineSignals(plant), ...driveSignals(plant)]);
}
