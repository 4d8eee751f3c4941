import { mannKendall } from '../calc/statistics/mann-kendall.ts';
import { theilSen } from '../calc/statistics/theil-sen.ts';
import { MS_PER_DAY } from './signal-plan.ts';
import type { Block } from './step-block.ts';
import { thinnedBlocks } from './thinned-blocks.ts';

export interface SlopePerDay {
  readonly middle: number;
  readonly low: number;
  readonly high: number;
}

const CONFIDENCE = 0.9;
/** Two-sided; a trend that chance makes once in a hundred series is believed. */
const SIGNIFICANT = 0.01;
const BLOCKS_MIN = 6;
/** Theil and Sen take every pair: a month of blocks is thinned to this many medians. */
const POINTS_MAX = 40;

/** How fast the blocks rise or fall; null while that is not significant. */
export function slopeSince(blocks: readonly Block[], widening: number): SlopePerDay | null {
  const points = thinned(blocks, widening);
  if (points.length < BLOCKS_MIN) return null;
  const verdict = mannKendall(points.map(({ value }) => value));
  if (verdict === null || verdict.pValue > SIGNIFICANT) return null;
  const startMs = points[0]?.timeMs ?? 0;
  const line = theilSen(
    points.map(({ timeMs, value }) => ({ x: (timeMs - startMs) / MS_PER_DAY, y: value })),
    CONFIDENCE,
  );
  return line === null ? null : { middle: line.slope, low: line.slopeLow, high: line.slopeHigh };
}

/** Medians of neighbours, so many together that one hardly leans on the next, as the tests of trend ask for. */
function thinned(blocks: readonly Block[], widening: number): readonly Block[] {
  const wanted = Math.max(1, Math.round(Math.sqrt(widening)), Math.ceil(blocks.length / POINTS_MAX));
  // Early on there is no trend at all to be had from so few; the test itself is the guard against chance then.
  const size = Math.max(1, Math.min(wanted, Math.floor(blocks.length / BLOCKS_MIN)));
  return thinnedBlocks(blocks, size);
}
