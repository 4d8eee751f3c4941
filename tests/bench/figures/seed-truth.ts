import { columnOf, trueTransit, type TrueTransit } from '#tests/support/true-transit.ts';
import { BAGGED, type PlantTruth } from '#tests/support/plant-truth.ts';
import { FEED, WHEEL } from './nodes.ts';
import { cachedTruth } from './truth-cache.ts';

/** A stretch of the truth, in its seconds. */
export interface Stretch {
  readonly fromS: number;
  readonly toS: number;
}

/** What really flowed, asked stretch by stretch. */
export interface SeedTruth {
  /** Mean of what is true at an instrument: kg/h or mL/min. */
  mean(node: string, stretch: Stretch): number;
  /** Mean of the feed that the seed came from which passed a stream between bins in the stretch. */
  feedOf(node: string, stretch: Stretch): number;
  /** Seconds, mass-weighted, from the intake scale to a stream between bins. */
  lagS(node: string): number;
  /** When seed that fell into the clean bin at a second passes the treater: the bin runs out in the order it was filled. */
  throughBin(enteredS: number): number;
}

/** Sums up to each second, so that a mean costs two look-ups. */
type Sums = Float64Array;

const BIN = 'CleanBin.Level';
/** From under the bin to the treater, by the simulator's elevator: 14 s of belt and 5 s of mixing. */
const FROM_BIN_S = 19;

export function seedTruth(truth: PlantTruth): SeedTruth {
  const sums = new Map<string, Sums>();
  const transits = new Map<string, TrueTransit>();
  const remembered = <T>(memory: Map<string, T>, key: string, make: () => T): T => {
    const known = memory.get(key) ?? make();
    memory.set(key, known);
    return known;
  };
  const transit = (node: string) =>
    remembered(transits, node, () => trueTransit(cachedTruth, truth.plan.crop, node));
  const mean = (all: Sums, { fromS, toS }: Stretch) => ((all[toS] ?? 0) - (all[fromS] ?? 0)) / (toS - fromS);
  return {
    mean: (node, stretch) =>
      node === BAGGED
        ? bagged(truth, stretch)
        : mean(
            remembered(sums, node, () => summed(columnOf(truth, node))),
            stretch,
          ),
    feedOf: (node, stretch) =>
      mean(
        remembered(sums, `feed of ${node}`, () => summed(aged(columnOf(truth, FEED), transit(node)))),
        stretch,
      ),
    lagS: (node) => transit(node).meanS,
    throughBin: (enteredS) => {
      const contentsKg = columnOf(truth, BIN)[Math.round(enteredS)] ?? 0;
      const passed = remembered(sums, WHEEL, () => summed(columnOf(truth, WHEEL)));
      const before = (passed[Math.round(enteredS) + FROM_BIN_S] ?? 0) / 3600;
      const left = passed.findIndex((sum) => sum / 3600 >= before + contentsKg);
      return left === -1 ? passed.length - 1 : left;
    },
  };
}

/** The feed, spread over the ages at which its seed comes past; before the truth began it was as in its first minutes. */
function aged(feed: Float32Array, { shares }: TrueTransit): Float64Array {
  const kernel = Array.from(shares.subarray(0, KERNEL_S), (share, age) => ({ share, age })).filter(
    ({ share }) => Math.abs(share) > 1e-7,
  );
  const all = kernel.reduce((sum, { share }) => sum + share, 0);
  const before = feed.subarray(0, 120).reduce((sum, rate) => sum + rate, 0) / 120;
  return Float64Array.from(feed, (_, second) => {
    let rate = 0;
    for (const { share, age } of kernel) rate += share * (feed[second - age] ?? before);
    return rate / all;
  });
}

/** By this age all seed has come past every stream between bins. */
const KERNEL_S = 600;

function summed(column: ArrayLike<number>): Sums {
  const sums = new Float64Array(column.length + 1);
  for (let second = 0; second < column.length; second += 1) {
    sums[second + 1] = (sums[second] ?? 0) + (column[second] ?? 0);
  }
  return sums;
}

/** Bags are counted whole: the mean rate of a stretch is what the count grew by. */
function bagged(truth: PlantTruth, { fromS, toS }: Stretch): number {
  const column = columnOf(truth, BAGGED);
  return (((column[toS - 1] ?? 0) - (column[fromS - 1] ?? 0)) * 3600) / (toS - fromS);
}
