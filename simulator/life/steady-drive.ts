import type { CropName } from '../physics/crops/crop.ts';
import type { PulledLever } from '../upsets/levers.ts';
import { drivePart, drivePartSignals, turnDrive } from './drive-part.ts';

export interface SteadyOptions {
  readonly crop: CropName;
  readonly throughput: number;
  readonly ambientC: number;
  readonly mains: number;
  readonly levers: readonly PulledLever[];
}

const LONG_S = 1e7;

/** What every signal of the drives really is once all has settled: for comparing a fault of a given size with none. */
export function steadyDrive(options: SteadyOptions): ReadonlyMap<string, number> {
  const part = drivePart(options.crop);
  part.throughput = options.throughput;
  Object.assign(part.weather, { ambientC: options.ambientC, mains: options.mains });
  for (const lever of options.levers) part.levers.pull(lever);
  for (const id of part.drives.keys()) {
    turnDrive(part, id, { stepS: LONG_S, isOn: true, wasOn: true, loadFactor: 1, warmerC: 0 });
  }
  return new Map([...drivePartSignals(part)].map(([node, truth]) => [node, truth()]));
}
