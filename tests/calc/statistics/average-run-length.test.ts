import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cusumRunLength, ewmaRunLength } from '#server/calc/statistics/average-run-length.ts';

const ONE_PER_CENT = 0.01;

describe('cusumRunLength', () => {
  it('gives 465 values without a shift and 10.4 with one deviation, for allowance 0.5 and decision 5', () => {
    expect(cusumRunLength({ allowance: 0.5, decision: 5 }, 0)).toBeCloseTo(465, -1);
    expect(cusumRunLength({ allowance: 0.5, decision: 5 }, 1)).toBeCloseTo(10.4, 1);
  });

  // NIST e-Handbook 6.3.2.3.1 and Montgomery print these.
  it.each([
    [4, 0, 168],
    [4, 0.25, 74.2],
    [4, 0.5, 26.6],
    [4, 1, 8.38],
    [4, 2, 3.34],
    [4, 4, 1.71],
    [5, 0, 465],
    [5, 0.25, 139],
    [5, 0.5, 38],
    [5, 0.75, 17],
    [5, 2, 4.01],
    [5, 4, 2.01],
  ])('meets the published table: decision %d, shift %d: %d', (decision, shift, printed) => {
    const length = cusumRunLength({ allowance: 0.5, decision }, shift);
    expect(Math.abs(length / printed - 1)).toBeLessThan(ONE_PER_CENT);
  });

  it.each([
    [{ allowance: -1 }, 0, 'cusumRunLength.allowance [1]: got -1, expected >= 0'],
    [{ decision: 0 }, 0, 'cusumRunLength.decision [1]: got 0, expected > 0'],
    [{}, NaN, 'cusumRunLength.shift [1]: got NaN, expected a finite number'],
  ])('refuses %o with a shift of %d and names it', (wrong, shift, message) => {
    const compute = () => cusumRunLength({ allowance: 0.5, decision: 5, ...wrong }, shift);
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('finds a shift down as soon as one up, and a larger one sooner', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 3, noNaN: true }), (shift) => {
        const chart = { allowance: 0.5, decision: 4 };
        const up = cusumRunLength(chart, shift);
        expect(cusumRunLength(chart, -shift) / up).toBeCloseTo(1, 9);
        expect(cusumRunLength(chart, shift + 0.1)).toBeLessThan(up);
      }),
      { numRuns: 2 },
    );
  });
});

describe('ewmaRunLength', () => {
  it('gives 500 values without a shift and 10.5 with one deviation, for weight 0.2 and width 2.962', () => {
    expect(Math.abs(ewmaRunLength({ weight: 0.2, width: 2.962 }, 0) / 500 - 1)).toBeLessThan(ONE_PER_CENT);
    expect(ewmaRunLength({ weight: 0.2, width: 2.962 }, 1)).toBeCloseTo(10.5, 1);
  });

  // Lucas & Saccucci (1990) print these.
  it.each([
    [{ weight: 0.4, width: 3.054 }, 0, 500],
    [{ weight: 0.4, width: 3.054 }, 0.5, 71.2],
    [{ weight: 0.25, width: 2.998 }, 1, 11.14],
    [{ weight: 0.1, width: 2.814 }, 0.25, 106.3],
    [{ weight: 0.1, width: 2.814 }, 3, 2.87],
    [{ weight: 0.05, width: 2.615 }, 0, 500],
    [{ weight: 0.05, width: 2.615 }, 0.5, 28.8],
  ])('meets the published table: %o, shift %d: %d', (chart, shift, printed) => {
    expect(Math.abs(ewmaRunLength(chart, shift) / printed - 1)).toBeLessThan(ONE_PER_CENT);
  });

  it('is the plain 3-sigma chart with a weight of 1: 370.398 without a shift, 43.895 with one deviation', () => {
    expect(ewmaRunLength({ weight: 1, width: 3 }, 0)).toBeCloseTo(370.398, 2);
    expect(ewmaRunLength({ weight: 1, width: 3 }, 1)).toBeCloseTo(43.895, 3);
  });

  it.each([
    [{ weight: 0.009 }, 0, 'ewmaRunLength.weight [1]: got 0.009, expected 0.01 to 1'],
    [{ width: 0 }, 0, 'ewmaRunLength.width [1]: got 0, expected > 0'],
    [{}, NaN, 'ewmaRunLength.shift [1]: got NaN, expected a finite number'],
  ])('refuses %o with a shift of %d and names it', (wrong, shift, message) => {
    const compute = () => ewmaRunLength({ weight: 0.2, width: 3, ...wrong }, shift);
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });
});
