/** What a lot is made of. Order matters: it is the order of the components in a parcel. */
export const COMPONENTS = [
  'good',
  'light',
  'split',
  'damaged',
  'otherCrop',
  'weed',
  'chaff',
  'dust',
  'stone',
  'clod',
] as const;

export type Component = (typeof COMPONENTS)[number];

/** Components that are whole seed of the crop, sound or not. */
export const WHOLE_SEED: readonly number[] = COMPONENTS.flatMap((name, component) =>
  name === 'good' || name === 'light' || name === 'damaged' ? [component] : [],
);

/** A property's mean and its scatter within the lot as a share of the mean. */
type Spread = readonly [mean: number, scatter: number];

export interface ComponentSpec {
  /** Share of the lot's dry matter. */
  readonly share: number;
  /** kg water per kg wet. */
  readonly moisture: number;
  readonly lengthMm: Spread;
  readonly widthMm: Spread;
  readonly thicknessMm: Spread;
  readonly densityKgPerM3: Spread;
  readonly dragCoefficient: number;
  /** Probability to germinate at the mean density, and how much it rises with one standard deviation more. */
  readonly germination: readonly [atMean: number, perDeviation: number];
  /** Share that a colour sorter sees as off colour. */
  readonly offColour: number;
}

/** What an operator sets for a crop. Sizes in mm, angles in degrees, speeds in strokes or turns a minute. */
export interface Settings {
  readonly feedKgPerH: number;
  readonly scalperHoleMm: number;
  readonly topHoleMm: number;
  readonly bottomSlotMm: number;
  readonly airScreenGatePercent: number;
  readonly aspiratorGatePercent: number;
  readonly troughAngleDeg: number;
  readonly cylinderRpm: number;
  readonly sizerHoleMm: number;
  readonly sizerSlotMm: number;
  readonly destonerTiltDeg: number;
  readonly destonerStrokesPerMin: number;
  readonly tableTiltDeg: number;
  readonly tableStrokesPerMin: number;
  readonly tableFeedGatePercent: number;
  /** Share of the middlings that is fed to the table again; the rest goes with the lights. */
  readonly middlingsReturnedRatio: number;
  readonly dryerAirC: number;
  readonly bagKg: number;
}

/** Where the machines cut at the settings above; the settings move these. */
interface CutPoints {
  readonly airScreenMPerS: number;
  readonly aspiratorMPerS: number;
  readonly shortsMm: number;
  readonly longsMm: number;
  readonly destonerKgPerM3: number;
  /** Below the first goes to the lights, between both to the middlings. */
  readonly lightsKgPerM3: number;
  readonly middlingsKgPerM3: number;
}

export interface Crop {
  readonly name: CropName;
  readonly kgPerBu: number;
  readonly components: Readonly<Record<Component, ComponentSpec>>;
  readonly settings: Settings;
  readonly cuts: CutPoints;
  /** Machines that a gate sends this crop past. */
  readonly bypassed: readonly string[];
  /** Above this the seed begins to lose its life. */
  readonly safeSeedC: number;
}

export type CropName = 'soybean' | 'wheat' | 'corn';

export const CROP_NAMES: readonly CropName[] = ['soybean', 'wheat', 'corn'];

/** What is found in any lot, much the same. Sizes and densities invented, as is plausible. */
export const COMMON = {
  dust: {
    moisture: 0.09,
    lengthMm: [0.3, 0.3],
    widthMm: [0.3, 0.3],
    thicknessMm: [0.3, 0.3],
    densityKgPerM3: [1500, 0.05],
    dragCoefficient: 7,
    germination: [0, 0],
    offColour: 1,
  },
  stone: {
    moisture: 0,
    lengthMm: [6, 0.2],
    widthMm: [5.2, 0.2],
    thicknessMm: [4.5, 0.2],
    densityKgPerM3: [2600, 0.04],
    dragCoefficient: 0.6,
    germination: [0, 0],
    offColour: 1,
  },
  clod: {
    moisture: 0.06,
    lengthMm: [6.5, 0.18],
    widthMm: [5.6, 0.18],
    thicknessMm: [4.8, 0.18],
    densityKgPerM3: [1650, 0.07],
    dragCoefficient: 0.6,
    germination: [0, 0],
    offColour: 1,
  },
} as const satisfies Readonly<Record<string, Omit<ComponentSpec, 'share'>>>;
