import type { CropName } from '#simulator/physics/crops/crop.ts';
import { simulatedPlant, stepOnce, type SimulatedPlant } from '#simulator/simulated-plant.ts';
import type { Truth } from '#simulator/truth/truth.ts';
import { readUpsets } from '#simulator/upsets/upset-file.ts';
import type { Upset } from '#simulator/upsets/upset.ts';

/** One tag over the last minute of a run with an upset, and of the same run without. */
interface PairedTag {
  readonly with: number;
  readonly without: number;
}

export interface PairRun {
  /** Tags whose value or status differed at any step. */
  readonly touched: readonly string[];
  /** Means over the last minute. */
  readonly of: (node: string) => PairedTag;
  /** What the run with the upset showed last. */
  readonly last: (node: string) => number;
  /** Largest value shown during the run with the upset. */
  readonly highest: (node: string) => number;
  readonly lowest: (node: string) => number;
  readonly truth: { readonly with: Truth; readonly without: Truth };
  readonly sims: { readonly with: SimulatedPlant; readonly without: SimulatedPlant };
}

const WINDOW = 60;
const upsets = readUpsets();

export function upsetNamed(name: string): Upset {
  const upset = upsets.get(name);
  if (upset === undefined) throw new Error(`no upset named ${name}`);
  return upset;
}

/** Plays an upset beside the very same run without it: what differs is the upset's doing and nothing else's. */
export function pairRun(name: string, seconds: number, crop: CropName = 'soybean'): PairRun {
  const options = { seed: 4711, crop, settleMs: 900_000 };
  const sims = {
    with: simulatedPlant({ ...options, upsets: [{ upset: upsetNamed(name), atMs: 0 }] }),
    without: simulatedPlant(options),
  };
  const tally = emptyTally(sims.with.tags.length);
  for (let second = 0; second < seconds; second += 1) {
    stepOnce(sims.with);
    stepOnce(sims.without);
    compare(tally, sims, second >= seconds - WINDOW);
  }
  const at = (column: Float64Array, node: string) => column[sims.with.tagOf.get(node) ?? -1] ?? Number.NaN;
  return {
    touched: [...tally.touched].map((tag) => sims.with.tags[tag]?.node ?? '').sort(),
    of: (node) => ({ with: at(tally.with, node), without: at(tally.without, node) }),
    last: (node) => at(sims.with.channels.values, node),
    highest: (node) => at(tally.high, node),
    lowest: (node) => at(tally.low, node),
    truth: { with: sims.with.truth(), without: sims.without.truth() },
    sims,
  };
}

interface Tally {
  readonly touched: Set<number>;
  readonly with: Float64Array;
  readonly without: Float64Array;
  readonly high: Float64Array;
  readonly low: Float64Array;
}

function emptyTally(count: number): Tally {
  return {
    touched: new Set(),
    with: new Float64Array(count),
    without: new Float64Array(count),
    high: new Float64Array(count).fill(Number.NEGATIVE_INFINITY),
    low: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
  };
}

function compare(tally: Tally, sims: PairRun['sims'], isInWindow: boolean): void {
  const [upset, plain] = [sims.with.channels, sims.without.channels];
  upset.values.forEach((here, tag) => {
    const there = plain.values[tag] ?? 0;
    if (here !== there || upset.qualityOf(tag) !== plain.qualityOf(tag)) tally.touched.add(tag);
    tally.high[tag] = Math.max(tally.high[tag] ?? 0, here);
    tally.low[tag] = Math.min(tally.low[tag] ?? 0, here);
    if (!isInWindow) return;
    tally.with[tag] = (tally.with[tag] ?? 0) + here / WINDOW;
    tally.without[tag] = (tally.without[tag] ?? 0) + there / WINDOW;
  });
}
