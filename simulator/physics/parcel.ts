/**
 * A parcel is some seed on its way: kilograms of dry matter in each cell of the populations, and what travels with it.
 *
 *     [ cells: dry matter | water of each component | coat solids A B C | surface water | viable seed killed ]
 *
 * All but the last are masses. The last is a label (kg of good seed that lost its life to heat) and has no mass
 * of its own. Parcels are plain Float64Arrays so that machines work on them in tight loops.
 */
export type Parcel = Float64Array;

export interface ParcelLayout {
  /** First cell of each component, and at the end the number of cells. */
  readonly cellStarts: readonly number[];
  readonly cells: number;
  readonly components: number;
  readonly waterAt: number;
  readonly coatAt: number;
  readonly surfaceWaterAt: number;
  readonly killedAt: number;
  readonly size: number;
}

const COAT_COUNT = 3;

export function parcelLayout(cellsOfComponent: readonly number[]): ParcelLayout {
  const cellStarts = [0];
  for (const count of cellsOfComponent) cellStarts.push((cellStarts.at(-1) ?? 0) + count);
  const cells = cellStarts.at(-1) ?? 0;
  const waterAt = cells;
  const coatAt = waterAt + cellsOfComponent.length;
  const surfaceWaterAt = coatAt + COAT_COUNT;
  const killedAt = surfaceWaterAt + 1;
  return {
    cellStarts,
    cells,
    components: cellsOfComponent.length,
    waterAt,
    coatAt,
    surfaceWaterAt,
    killedAt,
    size: killedAt + 1,
  };
}

/** Total mass of a parcel, kg. */
export function massOf(layout: ParcelLayout, parcel: Parcel): number {
  let sum = 0;
  for (let i = 0; i < layout.killedAt; i += 1) sum += parcel[i] ?? 0;
  return sum;
}

/** Water in and on a parcel, kg. */
export function waterIn(layout: ParcelLayout, parcel: Parcel): number {
  let water = parcel[layout.surfaceWaterAt] ?? 0;
  for (let c = 0; c < layout.components; c += 1) water += parcel[layout.waterAt + c] ?? 0;
  return water;
}

export function dryMassOfComponent(layout: ParcelLayout, parcel: Parcel, component: number): number {
  let sum = 0;
  const end = layout.cellStarts[component + 1] ?? 0;
  for (let i = layout.cellStarts[component] ?? 0; i < end; i += 1) sum += parcel[i] ?? 0;
  return sum;
}

export function addTo(target: Parcel, source: Parcel): void {
  for (let i = 0; i < target.length; i += 1) target[i] = (target[i] ?? 0) + (source[i] ?? 0);
}

/** Moves a share of a parcel into another, without losing a gram. */
export function moveShare(source: Parcel, target: Parcel, share: number): void {
  for (let i = 0; i < source.length; i += 1) {
    const moved = (source[i] ?? 0) * share;
    source[i] = (source[i] ?? 0) - moved;
    target[i] = (target[i] ?? 0) + moved;
  }
}

/** Moves everything in a parcel into another. */
export function moveAll(source: Parcel, target: Parcel): void {
  addTo(target, source);
  source.fill(0);
}
