import type { BenchLine } from './bench-line.ts';
import { figureValue } from './figure-lookup.ts';
import { runLine } from './line-run.ts';
import { meanShown, type Miss } from './lot-part.ts';
import { CLEAN, FEED } from './nodes.ts';
import { runOf, stepsTruth } from './runs.ts';
import { seedTruth } from './seed-truth.ts';

export interface StepsResult {
  /** The largest error of the ten-minute yield, in points, wherever the line gave one. */
  readonly worst: Miss;
  /** The most by which the line was further from the truth than the oracle, points. */
  readonly beyondOracle: number | null;
  /** The largest error of clean over feed of the same ten minutes where the line gave a figure, points. */
  readonly unlagged: number | null;
  /** Share of the time with seed at the clean scale in which the line gave a figure. */
  readonly knownRatio: number;
}

const WINDOW_S = 600;
/** Less seed than this in ten minutes is a tail that nobody takes a yield of: 5 % of the rated feed. */
const FLOOR_KG_PER_H = 650;

/** Start-up, steps of 30 % up and down, and run-out: the ten-minute yield against the truth, instant by instant. */
export function stepsResult(line: BenchLine, index: number, draw: number | null): StepsResult {
  const truth = stepsTruth(index);
  const run = runOf(truth, draw, { tickS: 10, everyS: 1 });
  const real = seedTruth(truth);
  const lagS = Math.round(real.lagS(CLEAN));
  const misses: { line: number | null; oracle: number; unlagged: number }[] = [];
  runLine(line, run, (step, endS) => {
    const window = { fromS: endS - WINDOW_S, toS: endS };
    if (window.fromS < lagS || real.feedOf(CLEAN, window) < FLOOR_KG_PER_H) return;
    const trueYield = real.mean(CLEAN, window) / real.feedOf(CLEAN, window);
    const clean = meanShown(run.readings, CLEAN, window);
    const fed = (earlierS: number) =>
      meanShown(run.readings, FEED, { fromS: window.fromS - earlierS, toS: window.toS - earlierS });
    const value = figureValue(line, step, { kind: 'yield', window: 'ten-minutes' });
    misses.push({
      line: value === null ? null : Math.abs(value - trueYield) * 100,
      oracle: Math.abs(clean / fed(lagS) - trueYield) * 100,
      unlagged: Math.abs(clean / fed(0) - trueYield) * 100,
    });
  });
  const known = misses.flatMap(({ line: missed, ...others }) =>
    missed === null ? [] : [{ missed, ...others }],
  );
  const most = (values: readonly number[]) => (values.length === 0 ? null : Math.max(...values));
  return {
    worst: {
      line: most(known.map(({ missed }) => missed)),
      oracle: most(known.map(({ oracle }) => oracle)) ?? NaN,
    },
    beyondOracle: most(known.map(({ missed, oracle }) => missed - oracle)),
    unlagged: most(known.map(({ unlagged }) => unlagged)),
    knownRatio: known.length / misses.length,
  };
}
