import { CLEANING, TREATING, type OnRoute } from './logic/sequence.ts';
import type { Crop } from './physics/crops/crop.ts';
import type { Levers } from './upsets/levers.ts';

/** Cleaning and treating in one run, or one after the other with the clean bin between. */
export type RunMode = 'one-run' | 'cleaning' | 'treating';

export const RUN_MODES: readonly RunMode[] = ['one-run', 'cleaning', 'treating'];

export interface Routing {
  readonly crop: Crop;
  readonly run: RunMode;
  readonly levers: Levers;
}

/** Which machines the seed passes now. A gate that stands wrong turns a bypass into its opposite. */
export function isOnRouteOf({ crop, run, levers }: Routing): OnRoute {
  return (machine) => {
    if (run === 'cleaning' && isOneOf(TREATING, machine)) return false;
    if (run === 'treating' && isOneOf(CLEANING, machine)) return false;
    const isBypassed = crop.bypassed.includes(machine);
    return levers.size('wrong-gate', machine) > 0 ? isBypassed : !isBypassed;
  };
}

/** High level of the clean bin and the level at which it is released, kg. In one run it is a mere surge bin. */
export function binLevels(run: RunMode): { readonly highKg: number; readonly clearKg: number } {
  return run === 'one-run' ? { highKg: 1200, clearKg: 700 } : { highKg: 11_000, clearKg: 9000 };
}

function isOneOf(machines: readonly string[], machine: string): boolean {
  return machines.includes(machine);
}
