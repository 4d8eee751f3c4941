import { ductResistance, fanPoint, type FanStanding } from '../physics/fan.ts';
import type { DriveSurroundings } from '../plant-state.ts';

/** Air flow at a machine's fan as a ratio of design. */
export function airOf(plant: DriveSurroundings, machine: string): number {
  const drive = plant.drives.get(`${machine}.Fan`);
  return drive === undefined ? 1 : fanPoint(fanStandingOf(plant, machine, drive.speed)).flow;
}

export function fanStandingOf(plant: DriveSurroundings, machine: string, speed: number): FanStanding {
  const loading = plant.levers.size('filter-loading', `${machine}.Fan`);
  return { speed, resistance: ductResistance(gateOf(plant, machine), loading) };
}

/** Where an air gate really stands, and where it was set; machines without a gate stand as set. */
export function gateOf(
  plant: DriveSurroundings,
  machine: string,
): { readonly percent: number; readonly setPercent: number } {
  const { settings } = plant.crop;
  const setPercent =
    machine === 'AirScreen'
      ? settings.airScreenGatePercent
      : machine === 'Aspirator'
        ? settings.aspiratorGatePercent
        : 100;
  return { percent: setPercent + plant.levers.size('air-gate-drift', machine), setPercent };
}

/** Strokes or turns as a ratio of what is set. */
export function strokesOf(plant: DriveSurroundings, machine: string): number {
  const drive = plant.drives.get(machine);
  return drive === undefined ? 1 : drive.speed * (1 - plant.levers.size('deck-belt-slip', machine));
}
