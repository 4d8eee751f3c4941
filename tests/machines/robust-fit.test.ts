import { linearRegression as referenceLine } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { product, robustFit } from '#server/machines/robust-fit.ts';

/** NIST StRD, Norris: x, y. Certified intercept -0.262323073774029, slope 1.00211681802045. */
const NORRIS: readonly (readonly [number, number])[] = [
  [0.2, 0.1],
  [337.4, 338.8],
  [118.2, 118.1],
  [884.6, 888.0],
  [10.1, 9.2],
  [226.5, 228.1],
  [666.3, 668.5],
  [996.3, 998.5],
  [448.6, 449.1],
  [777.0, 778.9],
  [558.2, 559.2],
  [0.4, 0.3],
  [0.6, 0.1],
  [775.5, 778.1],
  [666.9, 668.8],
  [338.0, 339.3],
  [447.5, 448.9],
  [11.6, 10.8],
  [556.0, 557.7],
  [228.1, 228.3],
  [995.8, 998.0],
  [887.6, 888.8],
  [120.2, 119.6],
  [0.3, 0.3],
  [0.3, 0.6],
  [556.8, 557.6],
  [339.1, 339.3],
  [887.2, 888.0],
  [999.0, 998.5],
  [779.0, 778.9],
  [11.1, 10.2],
  [118.3, 117.6],
  [229.2, 228.9],
  [669.1, 668.4],
  [448.9, 449.2],
  [0.5, 0.2],
];
const NORRIS_SLOPE = 1.00211681802045;
const NORRIS_SLOPE_ERROR = 0.000429796848199937;
const NORRIS_DEVIATION = 0.884796396144373;

const line = (points: readonly (readonly [number, number])[]) =>
  robustFit(
    points.map(([x]) => [1, x / 100]),
    points.map(([, y]) => y),
  );

describe('robustFit', () => {
  it('finds 1 + 2 x through ten points of which one is wild, by hand', () => {
    const x = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];
    const { coefficients } = robustFit(
      x.map((value) => [1, value]),
      x.map((value) => (value === 4 ? 100 : 1 + 2 * value)),
    );
    expect(coefficients[0]).toBeCloseTo(1, 3);
    expect(coefficients[1]).toBeCloseTo(2, 3);
  });

  it('has the certified slope of Norris within its standard error (NIST StRD)', () => {
    const { coefficients, deviation } = line(NORRIS);
    expect(Math.abs((coefficients[1] ?? 0) / 100 - NORRIS_SLOPE)).toBeLessThan(NORRIS_SLOPE_ERROR);
    expect(Math.abs(deviation / NORRIS_DEVIATION - 1)).toBeLessThan(0.35);
  });

  it('keeps that slope when a tenth of the data is spoilt, where least squares loses it (simple-statistics)', () => {
    const spoilt = NORRIS.map(([x, y], i) => (i % 10 === 3 ? ([x, y - 400] as const) : ([x, y] as const)));
    const robust = (line(spoilt).coefficients[1] ?? 0) / 100;
    const plain = referenceLine(spoilt.map(([x, y]) => [x, y])).m;
    expect(Math.abs(robust - NORRIS_SLOPE)).toBeLessThan(3 * NORRIS_SLOPE_ERROR);
    expect(Math.abs(plain - NORRIS_SLOPE)).toBeGreaterThan(50 * NORRIS_SLOPE_ERROR);
  });

  it('scales with the values: twice the values, twice the coefficients and the spread', () => {
    const once = line(NORRIS);
    const twice = line(NORRIS.map(([x, y]) => [x, 2 * y] as const));
    expect(twice.deviation).toBeCloseTo(2 * once.deviation, 8);
    expect(twice.coefficients[1]).toBeCloseTo(2 * (once.coefficients[1] ?? 0), 6);
  });

  it('shares an effect between two columns that say the same, instead of failing', () => {
    const rows = [1, 2, 3, 4, 5, 6].map((x) => [1, x, x]);
    const { coefficients } = robustFit(rows, [3, 5, 7, 9, 11, 13]);
    expect(product([1, 10, 10], coefficients)).toBeCloseTo(21, 3);
  });

  it('refuses no row at all, and says so', () => {
    expect(() => robustFit([], [])).toThrow('FIGURE_INPUT medianOf.values count [1]: got 0, expected >= 1');
  });
});
