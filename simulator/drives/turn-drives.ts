import { isDriveOn, takeSwitchings, type LineLogic } from '../logic/line-logic.ts';
import { driveId, PUMPS } from '../logic/sequence.ts';
import type { Plant } from '../plant-state.ts';
import { MACHINES, type DriveEntry } from '../tags/machine-list.ts';
import { stepDrive, warmDrive, type Drives } from './drive.ts';
import { shaftLoad, throughputRatio } from './shaft-load.ts';

const PUMP_MOTOR: DriveEntry = {
  prefix: '',
  ratedKw: 0.37,
  ratedCurrentA: 1.1,
  ratedSpeedRpm: 1380,
  hasPhases: false,
};

/** All drives of the plant, warm and turning where the logic has them on. */
export function warmDrives(logic: LineLogic): Drives {
  const motors = MACHINES.flatMap(({ name, drives }) =>
    drives.map((entry) => [driveId(name, entry.prefix), entry] as const),
  );
  const all = [...motors, ...PUMPS.map((id) => [id, PUMP_MOTOR] as const)];
  return new Map(
    all.map(([id, entry], i) => [id, warmDrive(entry, isDriveOn(logic, id), 3000 + 137 * i)] as const),
  );
}

/** Turns every drive for one step, loaded by the seed of the step before. */
export function turnDrives(plant: Plant): void {
  const { logic, levers, timeMs } = plant;
  const stepS = plant.options.stepMs / 1000;
  for (const [id, drive] of plant.drives) {
    const switchings = takeSwitchings(logic, id);
    const isOn = isDriveOn(logic, id);
    stepDrive(drive, {
      isOn,
      wasOn: switchings.length % 2 === 0 ? isOn : !isOn,
      switchingsS: switchings.length === 0 ? NONE : switchings.map((at) => Math.max(0, (at - timeMs) / 1000)),
      stepS,
      load: shaftLoad(plant, id, throughputRatio(plant, id)),
      mains: plant.weather.mains,
      ambientC: plant.weather.ambientC,
      bearingWear: levers.size('bearing-wear', id),
      phaseImbalance: levers.size('phase-imbalance', id),
    });
  }
}

const NONE: readonly number[] = [];
