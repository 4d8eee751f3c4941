import { WHOLE_SEED } from './crops/crop.ts';
import type { Parcel, ParcelLayout } from './parcel.ts';
import type { Population } from './population.ts';

export interface StreamQuality {
  /** Whole seed of the crop as a share of dry matter; null when nothing flows. Pieces count as inert matter. */
  readonly purity: number | null;
  /** Share of the whole seeds, by number, that germinate; null when there are none. */
  readonly germination: number | null;
}

export function qualityOf(population: Population, parcel: Parcel): StreamQuality {
  const { layout, seedMassMg, germination } = population;
  let pure = 0;
  let seeds = 0;
  let germinating = 0;
  for (const i of wholeSeedCells(layout)) {
    const kg = parcel[i] ?? 0;
    const count = kg / (seedMassMg[i] ?? 1);
    pure += kg;
    seeds += count;
    germinating += count * (germination[i] ?? 0);
  }
  const all = dryMass(layout, parcel);
  return {
    purity: all <= 0 ? null : pure / all,
    germination: seeds <= 0 ? null : (germinating / seeds) * aliveShare(population, parcel),
  };
}

/** Dry matter of whole seed that would germinate, less what heat has already killed, kg. */
export function livingKg({ layout, germination }: Population, parcel: Parcel): number {
  let living = 0;
  for (const i of wholeSeedCells(layout)) living += (parcel[i] ?? 0) * (germination[i] ?? 0);
  return Math.max(0, living - (parcel[layout.killedAt] ?? 0));
}

function aliveShare(population: Population, parcel: Parcel): number {
  const killed = parcel[population.layout.killedAt] ?? 0;
  const ever = livingKg(population, parcel) + killed;
  return ever <= 0 ? 1 : 1 - killed / ever;
}

function dryMass(layout: ParcelLayout, parcel: Parcel): number {
  let all = 0;
  for (let i = 0; i < layout.cells; i += 1) all += parcel[i] ?? 0;
  return all;
}

const cellLists = new WeakMap<ParcelLayout, readonly number[]>();

/** Cells of whole seed; asked for at every step, so listed once for each layout. */
function wholeSeedCells(layout: ParcelLayout): readonly number[] {
  const known = cellLists.get(layout);
  if (known !== undefined) return known;
  const cells = WHOLE_SEED.flatMap((component) => {
    const start = layout.cellStarts[component] ?? 0;
    return Array.from({ length: (layout.cellStarts[component + 1] ?? 0) - start }, (_, k) => start + k);
  });
  cellLists.set(layout, cells);
  return cells;
}
