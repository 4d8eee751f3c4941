import { COMPONENTS, type Component, type Crop } from './crops/crop.ts';
import { parcelLayout, type ParcelLayout } from './parcel.ts';
import { normalQuantile } from './random.ts';
import { AIR_KG_PER_M3, terminalVelocity } from './terminal-velocity.ts';

/** The lot as a grid of cells, each a little group of seeds with one set of properties; columns, one value a cell. */
export interface Population {
  readonly layout: ParcelLayout;
  /** Share of its component's dry matter; sums to 1 over each component. */
  readonly weight: Float64Array;
  readonly lengthMm: Float64Array;
  readonly widthMm: Float64Array;
  readonly thicknessMm: Float64Array;
  readonly densityKgPerM3: Float64Array;
  readonly velocityMPerS: Float64Array;
  readonly seedMassMg: Float64Array;
  /** Cube root of length x width x thickness over length: 1 for a ball. */
  readonly sphericity: Float64Array;
  readonly germination: Float64Array;
  readonly offColour: Float64Array;
}

/** Cells of each component: many where the cuts are fine, few where any cut is coarse. */
const CELLS: Readonly<Record<Component, number>> = {
  good: 96,
  light: 32,
  split: 32,
  damaged: 32,
  otherCrop: 16,
  weed: 16,
  chaff: 16,
  dust: 8,
  stone: 8,
  clod: 8,
};

/** Width and thickness go together, length a little less (handbook 10.6: 0.5 to 0.7, from memory, medium). */
const SIZE_IN_COMMON = { length: 0.5, width: 0.6, thickness: 0.6 } as const;

export function populationOf(crop: Crop): Population {
  const layout = parcelLayout(COMPONENTS.map((name) => CELLS[name]));
  const column = () => new Float64Array(layout.cells);
  const population: Population = {
    layout,
    weight: column(),
    lengthMm: column(),
    widthMm: column(),
    thicknessMm: column(),
    densityKgPerM3: column(),
    velocityMPerS: column(),
    seedMassMg: column(),
    sphericity: column(),
    germination: column(),
    offColour: column(),
  };
  COMPONENTS.forEach((name, c) => {
    for (let k = 0; k < CELLS[name]; k += 1)
      fillCell(population, { crop, name, cell: (layout.cellStarts[c] ?? 0) + k, k });
  });
  return population;
}

interface CellPlace {
  readonly crop: Crop;
  readonly name: Component;
  readonly cell: number;
  /** Its number within the component. */
  readonly k: number;
}

function fillCell(population: Population, { crop, name, cell, k }: CellPlace): void {
  const spec = crop.components[name];
  const [common, forLength, forWidth, forThickness, forDensity] = evenNormals(k);
  const own = (share: number, z: number) => Math.sqrt(share) * common + Math.sqrt(1 - share) * z;
  const sized = ([mean, scatter]: readonly [number, number], z: number) =>
    mean * Math.max(0.2, 1 + scatter * z);
  const length = sized(spec.lengthMm, own(SIZE_IN_COMMON.length, forLength));
  const width = sized(spec.widthMm, own(SIZE_IN_COMMON.width, forWidth));
  const thickness = sized(spec.thicknessMm, own(SIZE_IN_COMMON.thickness, forThickness));
  const density = sized(spec.densityKgPerM3, forDensity);
  const massMg = (density * Math.PI * length * width * thickness) / 6 / 1000;
  population.weight[cell] = 1 / CELLS[name];
  population.lengthMm[cell] = length;
  population.widthMm[cell] = width;
  population.thicknessMm[cell] = thickness;
  population.densityKgPerM3[cell] = density;
  population.seedMassMg[cell] = massMg;
  population.sphericity[cell] = Math.cbrt(length * width * thickness) / length;
  population.velocityMPerS[cell] = terminalVelocity({
    massKg: massMg / 1e6,
    areaM2: (Math.PI * length * width) / 4 / 1e6,
    dragCoefficient: spec.dragCoefficient,
    airKgPerM3: AIR_KG_PER_M3,
  });
  const [atMean, perDeviation] = spec.germination;
  population.germination[cell] = Math.min(0.998, Math.max(0, atMean + perDeviation * forDensity));
  population.offColour[cell] = spec.offColour;
}

/**
 * The k-th of evenly spread standard normal points in five dimensions.
 *
 *     u_j = frac(0.5 + k / phi^j),   phi^6 = phi + 1
 *
 * Source   additive recurrence on the generalised golden ratio: fills space evenly with few points
 */
function evenNormals(k: number): readonly [number, number, number, number, number] {
  const at = (j: number) => normalQuantile(clamped((0.5 + (k + 1) / GOLDEN ** j) % 1));
  return [at(1), at(2), at(3), at(4), at(5)];
}

function clamped(u: number): number {
  return Math.min(0.998, Math.max(0.002, u));
}

/** Root of x^6 = x + 1. */
const GOLDEN = 1.1347241384015194;
