import { addTo, massOf } from './physics/parcel.ts';
import { feed } from './physics/feed.ts';
import { separate } from './physics/separate.ts';
import { IN_ORDER, SEPARATORS } from './physics/separators/separator.ts';
import type { Plant } from './plant-state.ts';

const FILLED_KG = 10_000;
const PORTION_KG = 50;

/** Fills the clean bin with what an earlier cleaning run of the same lot left, so that it can be treated. */
export function fillCleanBin(plant: Plant): void {
  const { population, crop, options, flow } = plant;
  const stepS = (PORTION_KG * 3600) / crop.settings.feedKgPerH;
  const lot = feed({ crop, population, seed: options.seed, stepS, levers: plant.levers });
  const portion = new Float64Array(population.layout.size);
  const rejects = new Float64Array(population.layout.size);
  while (plant.treating.cleanBin.contentsKg() < FILLED_KG) {
    lot.draw(portion, 1);
    for (const separator of SEPARATORS) {
      if (crop.bypassed.includes(separator)) continue;
      separate(population.layout, portion, { shares: plant.shares.of(separator, IN_ORDER), taken: rejects });
    }
    if (massOf(population.layout, portion) <= 0) return;
    plant.treating.cleanBin.fill(portion);
    addTo(flow.fedInAll, portion);
  }
}
