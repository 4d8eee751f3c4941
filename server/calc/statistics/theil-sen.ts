import { mannKendall } from './mann-kendall.ts';
import type { Point } from './linear-regression.ts';
import { medianOf, medianOfSorted } from './median-of.ts';
import { normalQuantile } from './normal-quantile.ts';

export interface TheilSen {
  readonly slope: number;
  /** Conover's: median y - slope * median x. */
  readonly intercept: number;
  /** Between these the true slope lies with the wanted confidence. */
  readonly slopeLow: number;
  readonly slopeHigh: number;
}

/**
 * How fast values rise or fall, whatever a few of them do.
 *
 *     slope = median over pairs with different x of (y_j - y_i) / (x_j - x_i)
 *     range = the slopes of rank (N -+ normal quantile * sqrt(variance of s)) / 2, N = number of pairs
 *
 * Shape    points in order of x in, one line with a range of its slope out. Cost and memory grow with the square of the
 *          number of points: thin them first.
 * Units    x, y -> y/x, y
 * Unknown  null with fewer than four points, all y the same, or all x the same.
 * Throws   RangeError unless the confidence lies between 0 and 1.
 * Source   Sen, J. Amer. Statist. Assoc. 63 (1968) 1379; range by Gilbert, Statistical Methods for Environmental
 *          Pollution Monitoring (1987), 16.5; intercept by Conover.
 *
 * @example x = 1 to 7, y = 1, 2, 3, 4, 5, 16, 7: slope 1, intercept 0
 */
export function theilSen(points: readonly Point[], confidence: number): TheilSen | null {
  const quantile = normalQuantile(0.5 + confidence / 2);
  const trend = mannKendall(points.map(({ y }) => y));
  const slopes = sortedSlopes(points);
  if (trend === null || slopes.length === 0) return null;

  const slope = medianOfSorted(slopes);
  const spread = quantile * Math.sqrt(trend.variance);
  return {
    slope,
    intercept: medianOf(points.map(({ y }) => y)) - slope * medianOf(points.map(({ x }) => x)),
    slopeLow: atRank(slopes, (slopes.length - spread) / 2),
    slopeHigh: atRank(slopes, (slopes.length + spread) / 2 + 1),
  };
}

function sortedSlopes(points: readonly Point[]): Float64Array {
  const slopes = new Float64Array((points.length * (points.length - 1)) / 2);
  let count = 0;
  for (const [index, a] of points.entries()) {
    for (let other = index + 1; other < points.length; other += 1) {
      const b = points[other] ?? a;
      if (b.x === a.x) continue;
      slopes[count] = (b.y - a.y) / (b.x - a.x);
      count += 1;
    }
  }
  return slopes.subarray(0, count).sort();
}

/** The value of a rank from 1 to the number of values, between two of them in proportion; ranks outside give the ends. */
function atRank(sorted: Float64Array, rank: number): number {
  const within = Math.min(Math.max(rank, 1), sorted.length) - 1;
  const below = Math.floor(within);
  const low = sorted[below] ?? 0;
  return low + ((sorted[below + 1] ?? low) - low) * (within - below);
}
