import type { Bin } from './bin.ts';
import { massOf, moveAll, type Parcel, type ParcelLayout } from './parcel.ts';
import type { RandomStream } from './random.ts';

export interface Bagger {
  readonly bag: Parcel;
  bagKg: number;
  /** Where the filling of the bag on the spout will be cut off, kg. */
  cutOffKg: number;
  lastBagKg: number;
  bags: number;
  rejected: number;
  baggedKg: number;
  readonly bagged: Parcel;
  readonly random: RandomStream;
}

/** Bags of 50 lb net. */
export const BAG_KG = 22.68;
/** A bag further off than this is emptied back into the hopper. */
const BAG_TOLERANCE_KG = 0.12;
const BAG_SPREAD_KG = 0.045;
const FILL_KG_PER_S = 4.2;
const BEGIN_WITH_KG = 30;

export function bagger(layout: ParcelLayout, random: RandomStream): Bagger {
  return {
    bag: new Float64Array(layout.size),
    bagKg: 0,
    cutOffKg: BAG_KG,
    lastBagKg: BAG_KG,
    bags: 0,
    rejected: 0,
    baggedKg: 0,
    bagged: new Float64Array(layout.size),
    random,
  };
}

/** Fills bags from the hopper for one step. `overfillKg` is what the cut-off comes too late by, `flowing` how well seed runs. */
export function stepBagger(
  state: Bagger,
  layout: ParcelLayout,
  step: {
    readonly hopper: Bin;
    readonly runS: number;
    readonly overfillKg: number;
    readonly flowing: number;
  },
): void {
  let budgetKg = FILL_KG_PER_S * step.runS * step.flowing;
  while (budgetKg > 0) {
    // A bag is begun only when the hopper can fill it, so that the cut-off is not starved.
    if (state.bagKg === 0 && step.hopper.contentsKg() < BEGIN_WITH_KG) return;
    const wantedKg = Math.min(budgetKg, state.cutOffKg + step.overfillKg - state.bagKg);
    const filledKg = wantedKg > 0 ? step.hopper.discharge(wantedKg, state.bag) : 0;
    state.bagKg += filledKg;
    budgetKg -= filledKg;
    if (filledKg < wantedKg) return;
    if (state.bagKg >= state.cutOffKg + step.overfillKg - 1e-9) finishBag(state, layout, step.hopper);
  }
}

function finishBag(state: Bagger, layout: ParcelLayout, hopper: Bin): void {
  const kg = massOf(layout, state.bag);
  if (Math.abs(kg - BAG_KG) <= BAG_TOLERANCE_KG) {
    state.bags += 1;
    state.baggedKg += kg;
    state.lastBagKg = kg;
    moveAll(state.bag, state.bagged);
  } else {
    state.rejected += 1;
    state.lastBagKg = kg;
    hopper.fill(state.bag);
    state.bag.fill(0);
  }
  state.bagKg = 0;
  state.cutOffKg = BAG_KG + BAG_SPREAD_KG * state.random.normal();
}
