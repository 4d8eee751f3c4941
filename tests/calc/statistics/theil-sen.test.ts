import fc from 'fast-check';
import { TheilSenRegression } from 'ml-regression-theil-sen';
import { describe, expect, it } from 'vitest';
import { theilSen } from '#server/calc/statistics/theil-sen.ts';

function points(...values: readonly number[]) {
  return values.map((y, index) => ({ x: index + 1, y }));
}

describe('theilSen', () => {
  it('finds slope 1 and intercept 0 in 1, 2, 3, 4, 5, 16, 7 (E7, Helsel & Hirsch, USGS TWRI 4-A3)', () => {
    expect(theilSen(points(1, 2, 3, 4, 5, 16, 7), 0.95)).toMatchObject({ slope: 1, intercept: 0 });
  });

  it('finds slope 1 a step in the EPA example (E5)', () => {
    expect(theilSen(points(10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15), 0.95)?.slope).toBe(1);
  });

  it('gives the slopes of rank 5.02 and 16.98 of 21 as its range for seven values at 90 %, by hand', () => {
    // 1.6449 * sqrt(44.33) = 10.952; in order the slopes are -9, fifteen times 1, then 3, 3.5, 4.33, 6 and 11.
    const range = theilSen(points(1, 2, 3, 4, 5, 16, 7), 0.9);
    expect(range?.slopeLow).toBe(1);
    expect(range?.slopeHigh).toBeCloseTo(1 + 2 * 0.976, 3);
  });

  it('widens its range with the confidence, around the slope', () => {
    const series = points(3, 1, 4, 1, 5, 9, 2, 6, 5, 3, 5, 8);
    const ranges = [0.99, 0.5].map((confidence) => theilSen(series, confidence));
    const lows = ranges.map((range) => range?.slopeLow ?? NaN);
    const highs = ranges.map((range) => range?.slopeHigh ?? NaN);
    const inOrder = [...lows, ranges[0]?.slope ?? NaN, ...highs.toReversed()];
    expect(inOrder).toEqual(inOrder.toSorted((a, b) => a - b));
    expect(lows[0]).toBeLessThan(lows[1] ?? NaN);
    expect(highs[0]).toBeGreaterThan(highs[1] ?? NaN);
  });

  it('leaves out pairs at one x', () => {
    const doubled = [...points(1, 2, 3, 4), { x: 4, y: 400 }];
    expect(theilSen(doubled, 0.9)?.slope).toBeGreaterThanOrEqual(1);
    expect(Number.isFinite(theilSen(doubled, 0.9)?.slopeHigh)).toBe(true);
  });

  it('is null with three points, with all y the same, and with all x the same', () => {
    expect(theilSen(points(1, 2, 3), 0.9)).toBeNull();
    expect(theilSen(points(5, 5, 5, 5), 0.9)).toBeNull();
    expect(
      theilSen(
        [1, 2, 3, 4].map((y) => ({ x: 0, y })),
        0.9,
      ),
    ).toBeNull();
  });

  it('refuses a confidence of 1', () => {
    expect(() => theilSen(points(1, 2, 3, 4), 1)).toThrow(
      new RangeError(
        'FIGURE_INPUT normalQuantile.probability [1]: got 1, expected more than 0 and less than 1',
      ),
    );
  });

  it('agrees with ml-regression-theil-sen, where the number of pairs is odd (that library takes the lower middle)', () => {
    const value = fc.integer({ min: -50, max: 50 });
    const series = fc
      .constantFrom(6, 7, 10, 11)
      .chain((n) => fc.array(value, { minLength: n, maxLength: n }));
    fc.assert(
      fc.property(series, (each) => {
        fc.pre(new Set(each).size > 1);
        const times = each.map((_, index) => index + 1);
        const oracle = new TheilSenRegression(times, each);
        expect(theilSen(points(...each), 0.9)?.slope).toBeCloseTo(oracle.slope, 9);
      }),
    );
  });

  it('covers the true slope as often as it says, on independent normal noise', () => {
    // Sums of twelve uniform numbers are near enough to normal; the seed is the run's.
    const noise = fc.array(fc.double({ min: -0.5, max: 0.5, noNaN: true }), { minLength: 12, maxLength: 12 });
    const series = fc.array(noise, { minLength: 20, maxLength: 20 });
    let covered = 0;
    const runs = fc.sample(series, 200);
    for (const each of runs) {
      const line = theilSen(
        points(...each.map((parts, t) => 0.3 * (t + 1) + parts.reduce((a, b) => a + b, 0))),
        0.9,
      );
      if (line !== null && line.slopeLow <= 0.3 && line.slopeHigh >= 0.3) covered += 1;
    }
    expect(covered / runs.length).toBeGreaterThan(0.8);
  });
});
