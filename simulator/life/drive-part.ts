import { catalogue } from '../catalogue.ts';
import { stepDrive, warmDrive, type DriveState } from '../drives/drive.ts';
import { shaftLoad } from '../drives/shaft-load.ts';
import { driveId, machineOf, type DriveId } from '../logic/sequence.ts';
import { CROPS } from '../physics/crops/crop-list.ts';
import type { Crop, CropName } from '../physics/crops/crop.ts';
import type { DriveSurroundings } from '../plant-state.ts';
import { driveSignals } from '../signals/drive-signals.ts';
import { filterPressure, gateSignals, motionSignals } from '../signals/machine-signals.ts';
import type { Signal } from '../signals/signal.ts';
import { MACHINES } from '../tags/machine-list.ts';
import type { TagEntry } from '../tags/tag-entry.ts';
import { createLevers } from '../upsets/levers.ts';

/** The drives of the plant without its seed: what lives of days and weeks are played on. */
export interface DrivePart extends DriveSurroundings {
  crop: Crop;
  readonly weather: { ambientC: number; mains: number };
  /** Seed at the intake as a ratio of the crop's set feed. */
  throughput: number;
}

/** What one drive meets beside what all of them meet. */
export interface DriveTurn {
  readonly stepS: number;
  readonly isOn: boolean;
  readonly wasOn: boolean;
  /** Shaft load as a multiple of what seed and air ask for. */
  readonly loadFactor: number;
  /** How much warmer it is beside this drive than in the plant. */
  readonly warmerC: number;
}

/** Share of the intake's seed that comes as far as a machine, about; the machines before it have taken theirs. */
const ARRIVING: Readonly<Record<string, number>> = {
  AirScreen: 0.99,
  Aspirator: 0.95,
  LengthGrader: 0.94,
  Sizer: 0.94,
  Elevator2: 0.92,
  Destoner: 0.92,
  GravityTable: 0.91,
  Elevator3: 0.86,
  Treater: 0.86,
  Dryer: 0.87,
  Bagger: 0.86,
  DustSystem: 0,
};

export function drivePart(crop: CropName): DrivePart {
  const drives = new Map<DriveId, DriveState>(
    MACHINES.flatMap(({ name, drives: entries }) =>
      entries.map((entry) => [driveId(name, entry.prefix), warmDrive(entry, true, 3000)] as const),
    ),
  );
  return {
    crop: CROPS[crop],
    drives,
    levers: createLevers(),
    weather: { ambientC: 22, mains: 1 },
    throughput: 1,
  };
}

/** Turns one drive for a step of any length; nothing of the seed is played, only its weight. */
export function turnDrive(part: DrivePart, id: DriveId, turn: DriveTurn): void {
  const drive = part.drives.get(id);
  if (drive === undefined) return;
  const arriving = part.throughput * (ARRIVING[machineOf(id)] ?? 1);
  stepDrive(drive, {
    isOn: turn.isOn,
    wasOn: turn.wasOn,
    switchingsS: turn.isOn === turn.wasOn ? [] : [0],
    stepS: turn.stepS,
    load: shaftLoad(part, id, arriving) * turn.loadFactor,
    mains: part.weather.mains,
    ambientC: part.weather.ambientC + turn.warmerC,
    bearingWear: part.levers.size('bearing-wear', id),
    phaseImbalance: part.levers.size('phase-imbalance', id),
  });
}

/** Every analog and counter of the drives, of what they move, and of what bears on them. */
export function drivePartSignals(part: DrivePart): ReadonlyMap<string, () => number> {
  const signals: readonly Signal[] = [
    ...driveSignals(part),
    ...motionSignals(part),
    ...gateSignals(part),
    ['DustSystem.FilterPressure', () => filterPressure(part)],
    ['Plant.AmbientTemperature', () => part.weather.ambientC],
    ['Plant.MainsVoltage', () => part.weather.mains * RATED_V],
    ['Intake.MassFlow', () => part.throughput * part.crop.settings.feedKgPerH],
  ];
  return new Map(signals);
}

const RATED_V = 400;

/** The points of the catalogue that the drives' part alone can show; contacts follow the line's one. */
export function drivePartTags(part: DrivePart): readonly TagEntry[] {
  const signals = drivePartSignals(part);
  return catalogue('full').filter(({ node }) => signals.has(node));
}
