import { lagOneAutocorrelation } from '../calc/statistics/lag-one-autocorrelation.ts';
import { robustScale } from '../calc/statistics/robust-scale.ts';
import { summaryOf } from '../calc/statistics/summary-of.ts';
import { withoutOutliers } from '../calc/statistics/without-outliers.ts';
import type { Block } from './step-block.ts';

/** How blocks scatter while the machine is well. */
export interface BlockSpread {
  readonly deviation: number;
  /** How much longer than independent ones blocks take to tell as much; 1 when none leans on the one before it. */
  readonly widening: number;
}

/** A limit below which nothing is worth finding is not this much finer than what is found. */
const SMALLEST_PER_DEVIATION = 8;
const LEANING_MAX = 0.9;

/** The spread from the blocks of the healthy period; `smallest` bounds it below, since a signal can stand quite still. */
export function blockSpread(blocks: readonly Block[], smallest: number): BlockSpread {
  const floor = smallest / SMALLEST_PER_DEVIATION;
  if (blocks.length < 4) return { deviation: Math.max(floor, smallest / 3), widening: 1 };
  const values = blocks.map(({ value }) => value);
  const plain = summaryOf(withoutOutliers(values, 4)).standardDeviation;
  const robust = robustScale(values).deviation ?? 0;
  const leaning = Math.min(LEANING_MAX, Math.max(0, lagOneAutocorrelation(values) ?? 0));
  return { deviation: Math.max(floor, plain, robust), widening: (1 + leaning) / (1 - leaning) };
}
