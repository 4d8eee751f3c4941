import type { Drives } from './drives/drive.ts';
import type { LineLogic } from './logic/line-logic.ts';
import type { Bagger } from './physics/bagger.ts';
import type { CleaningTrain } from './physics/cleaning-train.ts';
import type { Crop, CropName, Settings } from './physics/crops/crop.ts';
import type { Dryer } from './physics/dryer.ts';
import type { Feed } from './physics/feed.ts';
import type { Parcel } from './physics/parcel.ts';
import type { Population } from './physics/population.ts';
import type { TakenShares } from './physics/separators/taken-shares.ts';
import type { TreatingTrain } from './physics/treating-train.ts';
import type { RunMode } from './routes.ts';
import type { Levers } from './upsets/levers.ts';

export interface PlantOptions {
  readonly seed: number;
  readonly stepMs: number;
  readonly crop: CropName;
  readonly run: RunMode;
  /** Settings that differ from the crop's usual ones. */
  readonly settings: Partial<Settings>;
  /** Machines that the gates send this lot past; absent = the crop's usual route. */
  readonly bypassed: readonly string[] | undefined;
}

/** Everything the simulated plant is at an instant. */
export interface Plant {
  readonly options: PlantOptions;
  readonly crop: Crop;
  readonly population: Population;
  readonly shares: TakenShares;
  readonly levers: Levers;
  readonly logic: LineLogic;
  readonly feed: Feed;
  readonly cleaning: CleaningTrain;
  readonly treating: TreatingTrain;
  readonly dryer: Dryer;
  readonly bagger: Bagger;
  readonly drives: Drives;
  readonly flow: Flow;
  readonly weather: Weather;
  timeMs: number;
}

/** What bears on the drives alone: all that their part of the plant needs to turn by itself. */
export type DriveSurroundings = Pick<Plant, 'crop' | 'levers' | 'drives'>;

/** What went where, kg in the last step and in all. Parcels in all are for balances. */
export interface Flow {
  readonly feed: Parcel;
  readonly clean: Parcel;
  feedKg: number;
  cleanKg: number;
  /** Moisture of the clean seed that last came past, kg water per kg wet. */
  cleanMoisture: number;
  feedTotalKg: number;
  readonly fedInAll: Parcel;
  readonly takenInAll: Parcel;
  readonly dustInAll: Parcel;
}

export interface Weather {
  ambientC: number;
  /** Relative humidity, 0 to 1. */
  humidity: number;
  /** Mains voltage as a ratio of rated. */
  mains: number;
  readonly strays: readonly [() => number, () => number, () => number];
}
