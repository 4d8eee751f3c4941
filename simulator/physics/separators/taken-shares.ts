import type { Crop } from '../crops/crop.ts';
import type { Population } from '../population.ts';
import { liftingsShare, shortsShare } from './air-and-length.ts';
import { lightsShare, middlingsShare, stonesShare } from './density.ts';
import { offSizeShare, oversShare, screeningsShare } from './screens.ts';
import { forEachSeparator, IN_ORDER, type Condition, type Separator, type TakenShare } from './separator.ts';
import { offColourShare, offRoundShare } from './shape-and-colour.ts';

const TAKEN: Readonly<Record<Separator, TakenShare>> = {
  Scalper: oversShare,
  AirScreen: screeningsShare,
  Aspirator: liftingsShare,
  LengthGrader: shortsShare,
  Sizer: offSizeShare,
  Destoner: stonesShare,
  GravityTable: lightsShare,
  Spiral: offRoundShare,
  ColourSorter: offColourShare,
};

/** What each machine takes of each cell, kept until the machine's condition changes. */
export interface TakenShares {
  of(separator: Separator, condition: Condition): Float64Array;
  middlings(condition: Condition): Float64Array;
}

export function takenShares(population: Population, crop: Crop): TakenShares {
  const caches = forEachSeparator((name) => keptShares(population, crop, TAKEN[name]));
  const middlings = keptShares(population, crop, middlingsShare);
  return {
    of: (separator, condition) => caches[separator](condition),
    middlings,
  };
}

/** Steps finer than this change no share that anyone could see. */
const COARSENESS = 1e-4;

function keptShares(
  population: Population,
  crop: Crop,
  share: TakenShare,
): (condition: Condition) => Float64Array {
  const shares = new Float64Array(population.layout.cells);
  let known: Condition | undefined;
  return (condition) => {
    if (known === undefined || differs(known, condition)) {
      known = condition;
      for (let i = 0; i < shares.length; i += 1) shares[i] = share(population, i, { crop, condition });
    }
    return shares;
  };
}

function differs(a: Condition, b: Condition): boolean {
  return CONDITION_KEYS.some((key) => {
    // Below the rated feed the load changes no cut.
    if (key === 'load' && a.load <= 1 && b.load <= 1) return false;
    return Math.abs(a[key] - b[key]) > COARSENESS;
  });
}

const CONDITION_KEYS = Object.keys(IN_ORDER) as (keyof Condition)[];
