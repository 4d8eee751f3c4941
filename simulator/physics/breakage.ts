import { COMPONENTS, WHOLE_SEED } from './crops/crop.ts';
import type { Parcel, ParcelLayout } from './parcel.ts';
import type { Population } from './population.ts';

const SPLIT = COMPONENTS.indexOf('split');

/**
 * Breaks a share of the whole seed in a parcel: it goes on as splits, its water with it.
 *
 * `converted` keeps account, by component, of what was lost to another or came from another, kg dry matter.
 */
export function breakSeed(
  population: Population,
  parcel: Parcel,
  { share, converted }: { readonly share: number; readonly converted: Float64Array },
): void {
  const { layout } = population;
  let broken = 0;
  let water = 0;
  for (const component of WHOLE_SEED) {
    const dry = takeShare(layout, parcel, { component, share });
    water += drop(parcel, layout.waterAt + component, share);
    add(converted, component, -dry);
    broken += dry;
  }
  addSplits(population, parcel, broken);
  add(parcel, layout.waterAt + SPLIT, water);
  add(converted, SPLIT, broken);
}

function takeShare(
  layout: ParcelLayout,
  parcel: Parcel,
  { component, share }: { readonly component: number; readonly share: number },
): number {
  const end = layout.cellStarts[component + 1] ?? 0;
  let taken = 0;
  for (let i = layout.cellStarts[component] ?? 0; i < end; i += 1) taken += drop(parcel, i, share);
  return taken;
}

function addSplits({ layout, weight }: Population, parcel: Parcel, kg: number): void {
  const end = layout.cellStarts[SPLIT + 1] ?? 0;
  for (let i = layout.cellStarts[SPLIT] ?? 0; i < end; i += 1) add(parcel, i, kg * (weight[i] ?? 0));
}

function drop(column: Float64Array, i: number, share: number): number {
  const dropped = (column[i] ?? 0) * share;
  column[i] = (column[i] ?? 0) - dropped;
  return dropped;
}

function add(column: Float64Array, i: number, kg: number): void {
  column[i] = (column[i] ?? 0) + kg;
}
