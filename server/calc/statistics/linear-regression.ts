import { summaryOf } from './summary-of.ts';
import { sumOf } from '../sum-of.ts';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface StraightLine {
  readonly slope: number;
  readonly intercept: number;
  readonly slopeError: number;
  readonly interceptError: number;
  /** Standard deviation of the points about the line, with n - 2. */
  readonly residualDeviation: number;
  /** Share of the variance of y that the line explains. */
  readonly determination: number;
}

/**
 * The straight line with the least squared distance in y.
 *
 *     slope = sum((x - mean x)(y - mean y)) / sum((x - mean x)^2);  intercept = mean y - slope * mean x
 *
 * Shape    at least three points in, one line with standard errors out.
 * Units    x, y -> y/x, y
 * Unknown  null with fewer than three points, or when all have the same x.
 * Throws   RangeError when a coordinate is not finite.
 * Source   ordinary least squares, computed about the means so that large offsets cost no digits.
 *
 * @example (0, 1), (1, 3), (2, 5): slope 2, intercept 1
 */
export function linearRegression(points: readonly Point[]): StraightLine | null {
  const x = summaryOf(points.map((point) => point.x));
  const y = summaryOf(points.map((point) => point.y));
  const squaresX = sumOf(points.map((point) => (point.x - x.mean) ** 2));
  if (points.length < 3 || squaresX === 0) return null;

  const slope = sumOf(points.map((point) => (point.x - x.mean) * (point.y - y.mean))) / squaresX;
  const intercept = y.mean - slope * x.mean;
  const unexplained = sumOf(points.map((point) => (point.y - y.mean - slope * (point.x - x.mean)) ** 2));
  const squaresY = sumOf(points.map((point) => (point.y - y.mean) ** 2));
  const residualDeviation = Math.sqrt(unexplained / (points.length - 2));
  return {
    slope,
    intercept,
    slopeError: residualDeviation / Math.sqrt(squaresX),
    interceptError: residualDeviation * Math.sqrt(1 / points.length + x.mean ** 2 / squaresX),
    residualDeviation,
    // A line through equal values explains all there is to explain.
    determination: squaresY === 0 ? 1 : 1 - unexplained / squaresY,
  };
}
