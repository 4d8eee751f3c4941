import { bin, type Bin } from './bin.ts';
import { massOf, type Parcel, type ParcelLayout } from './parcel.ts';
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
  /** Water taken up by the air in the last step, kg, and in all. */
  evaporatedKg: number;
  evaporatedTotalKg: number;
  readonly buffers: readonly [Parcel, Parcel];
}

export interface TreatingStep {
  readonly stepS: number;
  readonly clean: Parcel;
  readonly isCleanDiverted: boolean;
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
    tanksKg: [190, 175, 160],
    pumpsMlPerMin: [0, 0, 0],
    seedKg: 0,
    mistKg: 0,
    productUsedKg: 0,
    evaporatedKg: 0,
    evaporatedTotalKg: 0,
    buffers: [new Float64Array(size), new Float64Array(size)],
  };
}

/** Moves the treating train on by one step, up to the hopper above the bagger. */
export function stepTreating(train: TreatingTrain, layout: ParcelLayout, step: TreatingStep): void {
  const [stream, next] = train.buffers;
  train.cleanBin.fill(step.clean);
  stream.fill(0);
  train.cleanBin.discharge(step.dischargeKg, stream);
  next.fill(0);
  train.elevator.pass(stream, step.advance('Elevator3'), next);
  train.seedKg = massOf(layout, next);
  coat(train, layout, { parcel: next, step });
  stream.fill(0);
  train.drum.pass(next, step.advance('Treater'), stream);
  next.fill(0);
  train.dryer.pass(stream, step.advance('Dryer'), next);
  train.evaporatedKg = step.dry(next);
  train.evaporatedTotalKg += train.evaporatedKg;
  train.hopper.fill(next);
}

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
