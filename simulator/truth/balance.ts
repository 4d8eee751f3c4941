import { addTrainContentsTo } from '../physics/cleaning-train.ts';
import { dryMassOfComponent, massOf, type Parcel } from '../physics/parcel.ts';
import { addTreatingContentsTo } from '../physics/treating-train.ts';
import type { Plant } from '../plant-state.ts';

/** Where everything is that ever came in, from an empty plant on. */
export interface Balance {
  readonly fedKg: number;
  readonly productKg: number;
  /** What is missing of all that came in, kg; 0 but for rounding. */
  readonly missingKg: number;
  /** Dry matter missing of each component, kg, breakage allowed for. */
  readonly missingOfComponentKg: readonly number[];
}

export function balanceOf(plant: Plant): Balance {
  const { layout } = plant.population;
  const { treating, flow } = plant;
  const there = whereEverythingIs(plant);
  const fedKg = massOf(layout, flow.fedInAll);
  const inKg = fedKg + treating.productUsedKg;
  const outKg = massOf(layout, there) + treating.mistKg + treating.evaporatedTotalKg;
  return {
    fedKg,
    productKg: treating.productUsedKg,
    missingKg: inKg - outKg,
    missingOfComponentKg: Array.from({ length: layout.components }, (_, c) => {
      const converted = (plant.cleaning.converted[c] ?? 0) + (treating.converted[c] ?? 0);
      return dryMassOfComponent(layout, flow.fedInAll, c) + converted - dryMassOfComponent(layout, there, c);
    }),
  };
}

/** Everything that lies in the plant or has left it as seed, reject or dust, in one parcel. */
function whereEverythingIs({ flow, cleaning, treating, bagger, population }: Plant): Parcel {
  const there = new Float64Array(population.layout.size);
  const add = (parcel: Parcel) => {
    for (let i = 0; i < there.length; i += 1) there[i] = (there[i] ?? 0) + (parcel[i] ?? 0);
  };
  [flow.takenInAll, flow.dustInAll, treating.otherBin, bagger.bagged, bagger.bag, cleaning.middlings].forEach(
    add,
  );
  addTrainContentsTo(cleaning, there);
  addTreatingContentsTo(treating, there);
  return there;
}
