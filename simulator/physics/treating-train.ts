import { bin, type Bin } from './bin.ts';
import { breakSeed } from './breakage.ts';
import { addTo, massOf, type Parcel, type ParcelLayout } from './parcel.ts';
import type { Population } from './population.ts';
import { transportLine, type TransportLine } from './transport-line.ts';

export interface Product {
  readonly name: string;
  readonly doseMlPerBu: number;
  readonly densityGPerMl: number;
  /** Share of its mass that stays on dry seed. */
  readonly solidsRatio: number;
}

/** The station's own three products; together 142 mL/bu (4.80 fl oz/bu). */
export const PRODUCTS: readonly [Product, Product, Product] = [
  { name: 'Coat A', doseMlPerBu: 62, densityGPerMl: 1.12, solidsRatio: 0.42 },
  { name: 'Coat B', doseMlPerBu: 45, densityGPerMl: 1.08, solidsRatio: 0.36 },
  { name: 'Binder', doseMlPerBu: 35, densityGPerMl: 1.03, solidsRatio: 0.3 },
];

export interface TreatingTrain {
  readonly cleanBin: Bin;
  readonly elevator: TransportLine;
  readonly drum: TransportLine;
  readonly dryer: TransportLine;
  readonly hopper: Bin;
  /** Product left in each container, kg. */
  readonly tanksKg: [number, number, number];
  /** What really left each pump in the last step, mL/min. */
  readonly pumpsMlPerMin: [number, number, number];
  /** Seed over the seed wheel in the last step, kg. */
  seedKg: number;
  /** Product that did not stay on the seed, kg in all. */
  mistKg: number;
  productUsedKg: number;
  /** Product put into the containers and let out of them otherwise than by the pumps, kg in all. */
  refilledKg: number;
  drainedKg: number;
  /** Clean seed that a wrong gate sent to the other bin. */
  readonly otherBin: Parcel;
  /** Dry matter that changed its component by breaking, kg in all. */
  readonly converted: Float64Array;
  /** Water taken up by the air in the last step, kg, and in all. */
  evaporatedKg: number;
  evaporatedTotalKg: number;
  /** What left the dryer in the last step. */
  readonly dried: Parcel;
  readonly buffers: readonly [Parcel, Parcel];
}

export interface TreatingStep {
  readonly stepS: number;
  readonly clean: Parcel;
  readonly isCleanDiverted: boolean;
  /** A container is emptied down to this by an upset, kg; infinite when not. */
  readonly tankLimitKg: readonly [number, number, number];
  readonly dischargeKg: number;
  readonly pumpTargetMlPerMin: readonly [number, number, number];
  readonly advance: (machine: 'Elevator3' | 'Treater' | 'Dryer') => number;
  /** Share of the liquid that stays on the seed. */
  readonly retention: number;
  /** Takes water out of the seed that leaves the dryer; returns how much, kg. */
  readonly dry: (parcel: Parcel) => number;
}

export function treatingTrain(layout: ParcelLayout, stepS: number): TreatingTrain {
  const { size } = layout;
  return {
    cleanBin: bin({ layout, layerKg: 50 }),
    elevator: transportLine({ size, stepS, plugS: 14, mixS: 5 }),
    drum: transportLine({ size, stepS, plugS: 15, mixS: 12 }),
    dryer: transportLine({ size, stepS, plugS: 70, mixS: 25 }),
    hopper: bin({ layout, layerKg: 20 }),
    tanksKg: [FULL_KG * 0.86, FULL_KG * 0.8, FULL_KG * 0.73],
    pumpsMlPerMin: [0, 0, 0],
    seedKg: 0,
    mistKg: 0,
    productUsedKg: 0,
    refilledKg: 0,
    drainedKg: 0,
    otherBin: new Float64Array(size),
    converted: new Float64Array(layout.components),
    evaporatedKg: 0,
    evaporatedTotalKg: 0,
    dried: new Float64Array(size),
    buffers: [new Float64Array(size), new Float64Array(size)],
  };
}

/** Moves the treating train on by one step, up to the hopper above the bagger. */
export function stepTreating(train: TreatingTrain, population: Population, step: TreatingStep): void {
  const { layout } = population;
  const [stream, next] = train.buffers;
  if (step.isCleanDiverted) addTo(train.otherBin, step.clean);
  else train.cleanBin.fill(step.clean);
  watchTanks(train, step);
  stream.fill(0);
  train.cleanBin.discharge(step.dischargeKg, stream);
  next.fill(0);
  train.elevator.pass(stream, step.advance('Elevator3'), next);
  breakSeed(population, next, { share: ELEVATOR_BREAKAGE, converted: train.converted });
  train.seedKg = massOf(layout, next);
  coat(train, layout, { parcel: next, step });
  stream.fill(0);
  train.drum.pass(next, step.advance('Treater'), stream);
  next.fill(0);
  train.dryer.pass(stream, step.advance('Dryer'), next);
  train.evaporatedKg = step.dry(next);
  train.evaporatedTotalKg += train.evaporatedKg;
  train.dried.set(next);
  train.hopper.fill(next);
}

/** The operator changes a container when it is nearly empty, unless an upset keeps him from it. */
function watchTanks(train: TreatingTrain, step: TreatingStep): void {
  step.tankLimitKg.forEach((limitKg, i) => {
    const kg = train.tanksKg[i] ?? 0;
    if (kg > limitKg) {
      train.drainedKg += kg - limitKg;
      train.tanksKg[i] = limitKg;
    } else if (limitKg === Number.POSITIVE_INFINITY && kg < CHANGE_BELOW_KG) {
      train.refilledKg += FULL_KG - kg;
      train.tanksKg[i] = FULL_KG;
    }
  });
}

const FULL_KG = 220;
const CHANGE_BELOW_KG = 8;
const ELEVATOR_BREAKAGE = 0.0008;

/** Puts each product's solids and water on the seed; what does not stay is mist and drips. */
function coat(
  train: TreatingTrain,
  layout: ParcelLayout,
  { parcel, step }: { parcel: Parcel; step: TreatingStep },
): void {
  PRODUCTS.forEach((product, i) => {
    const wantedKg = ((step.pumpTargetMlPerMin[i] ?? 0) * step.stepS * product.densityGPerMl) / 60_000;
    const kg = Math.min(wantedKg, train.tanksKg[i] ?? 0);
    train.tanksKg[i] = (train.tanksKg[i] ?? 0) - kg;
    train.pumpsMlPerMin[i] = (kg * 60_000) / (product.densityGPerMl * step.stepS);
    train.productUsedKg += kg;
    const kept = kg * step.retention;
    train.mistKg += kg - kept;
    const coatAt = layout.coatAt + i;
    parcel[coatAt] = (parcel[coatAt] ?? 0) + kept * product.solidsRatio;
    parcel[layout.surfaceWaterAt] = (parcel[layout.surfaceWaterAt] ?? 0) + kept * (1 - product.solidsRatio);
  });
}

export function addTreatingContentsTo(train: TreatingTrain, target: Parcel): void {
  for (const part of [train.cleanBin, train.elevator, train.drum, train.dryer, train.hopper]) {
    part.addContentsTo(target);
  }
}
