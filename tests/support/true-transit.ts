import type { CropName } from '#simulator/physics/crops/crop.ts';
import type { PlantTruth, TruthPlan } from '#tests/support/plant-truth.ts';

/** An odd number of seconds, so that one of them is its middle. */
const PULSE = { fromS: 60, toS: 81, share: 0.1 };
const MIDDLE = (PULSE.fromS + PULSE.toS - 1) / 2;
const WATCHED_S = 1800;

/** How old seed is when it comes past a place. */
export interface TrueTransit {
  /** Share of the mass by age, second by second. */
  readonly shares: Float64Array;
  /** The mass-weighted mean: the true lag. */
  readonly meanS: number;
}

/**
 * The transit of seed from the intake scale to a stream between bins, as the simulator really has it: what a short pulse
 * of feed adds to the stream, second by second. Two plants of the same seed differ by the pulse alone, so nothing has to
 * be fitted. Age zero is the pulse's middle: its own length spreads the ages a little and moves their mean by nothing.
 */
export function trueTransit(
  truthOf: (plan: TruthPlan) => PlantTruth,
  crop: CropName,
  node: string,
): TrueTransit {
  const plan = { crop, seed: 1, seconds: WATCHED_S, settleS: 1200, feedSteps: [] };
  const plain = columnOf(truthOf(plan), node);
  const pulsed = columnOf(truthOf({ ...plan, feedSteps: [PULSE] }), node);
  const added = Float64Array.from(pulsed, (value, second) => value - (plain[second] ?? 0));
  const all = added.reduce((sum, value) => sum + value, 0);
  const meanS = added.reduce((sum, value, second) => sum + (value / all) * (second - MIDDLE), 0);
  return { shares: added.subarray(MIDDLE).map((value) => value / all), meanS };
}

/** What is true at an instrument, second by second. */
export function columnOf({ columns }: PlantTruth, node: string): Float32Array {
  const column = columns.get(node);
  if (column === undefined) throw new Error(`the plant has no ${node}`);
  return column;
}
