import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ewma, ewmaLimit } from '#server/calc/statistics/ewma.ts';

/** NIST/SEMATECH e-Handbook 6.3.2.4 (E1): weight 0.3, target 50, deviation 2.0539. */
const NIST_VALUES = [
  52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6,
  52.1,
];
const NIST_AVERAGES = [
  50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
  49.92, 50.73, 51.23, 51.94, 51.99,
];
const chart = { weight: 0.3, deviation: 2.0539, width: 3 };

describe('ewma', () => {
  it('leads from 50 to 50.6 with the value 52 and a weight of 0.3, by hand', () => {
    expect(ewma(50, 52, 0.3)).toBeCloseTo(50.6, 12);
  });

  it('gives the twenty averages of the NIST example, and no signal (E1)', () => {
    let average = 50;
    for (const [index, value] of NIST_VALUES.entries()) {
      average = ewma(average, value, 0.3);
      expect(Math.abs(average - (NIST_AVERAGES[index] ?? NaN))).toBeLessThanOrEqual(0.005);
      expect(Math.abs(average - 50)).toBeLessThan(ewmaLimit(chart, Infinity));
    }
  });

  it('is the value itself with a weight of 1', () => {
    expect(ewma(50, 52, 1)).toBe(52);
  });

  it.each([0, -0.1, 1.01, NaN])('refuses a weight of %d', (weight) => {
    const message = `FIGURE_INPUT ewma.weight [1]: got ${weight}, expected more than 0 and at most 1`;
    expect(() => ewma(50, 52, weight)).toThrow(new RangeError(message));
  });

  it('refuses what is no number', () => {
    expect(() => ewma(NaN, 52, 0.3)).toThrow(
      new RangeError('FIGURE_INPUT ewma.average: got NaN, expected a finite number'),
    );
    expect(() => ewma(50, Infinity, 0.3)).toThrow(
      new RangeError('FIGURE_INPUT ewma.value: got Infinity, expected a finite number'),
    );
  });

  it('never leaves the range of the values', () => {
    const values = fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 1 });
    fc.assert(
      fc.property(values, fc.double({ min: 0.01, max: 1, noNaN: true }), (each, weight) => {
        const average = each.reduce((soFar, value) => ewma(soFar, value, weight), 0);
        expect(Math.abs(average)).toBeLessThanOrEqual(5 + 1e-9);
      }),
    );
  });
});

describe('ewmaLimit', () => {
  it('comes to 2.5884 in the NIST example, limits 52.5884 and 47.4116 (E1)', () => {
    expect(ewmaLimit(chart, Infinity)).toBeCloseTo(2.5884, 4);
  });

  it('is the limit of a single value after one value, times the weight', () => {
    expect(ewmaLimit(chart, 1)).toBeCloseTo(3 * 2.0539 * 0.3, 10);
  });

  it('is zero before the first value, and that of single values with a weight of 1', () => {
    expect(ewmaLimit(chart, 0)).toBe(0);
    expect(ewmaLimit({ ...chart, weight: 1 }, 0)).toBe(0);
    expect(ewmaLimit({ ...chart, weight: 1 }, 5)).toBeCloseTo(3 * 2.0539, 12);
    expect(ewmaLimit({ ...chart, weight: 1 }, Infinity)).toBeCloseTo(3 * 2.0539, 12);
  });

  it.each([
    [{ weight: 0 }, 1, 'ewmaLimit.weight [1]: got 0, expected more than 0 and at most 1'],
    [{ deviation: -1 }, 1, 'ewmaLimit.deviation: got -1, expected >= 0'],
    [{ width: -1 }, 1, 'ewmaLimit.width [1]: got -1, expected >= 0'],
    [{}, -1, 'ewmaLimit.count [1]: got -1, expected >= 0'],
  ])('refuses %o after %d values and names it', (wrong, count, message) => {
    expect(() => ewmaLimit({ ...chart, ...wrong }, count)).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('widens with every value', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 20 }), (count) => {
        expect(ewmaLimit(chart, count + 1)).toBeGreaterThan(ewmaLimit(chart, count));
      }),
    );
  });
});
