import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { chiSquareQuantile } from '#server/calc/statistics/chi-square-quantile.ts';
import { regularizedGamma } from '#server/calc/statistics/regularized-gamma.ts';
import { sidakLevel } from '#server/calc/statistics/sidak-level.ts';

describe('chiSquareQuantile', () => {
  it.each([
    [1, 3.8415],
    [2, 5.9915],
    [3, 7.8147],
    [4, 9.4877],
    [5, 11.0705],
    [6, 12.5916],
    [8, 15.5073],
    [10, 18.307],
  ])(
    'has 95 %% of the values with %d degrees of freedom below %d (every table of chi-square)',
    (freedom, value) => {
      expect(chiSquareQuantile(0.95, freedom)).toBeCloseTo(value, 4);
    },
  );

  it.each([0.001, 0.05, 0.5, 0.9, 0.999])('agrees with jStat at %d', (probability) => {
    for (const freedom of [1, 2, 7, 40, 200]) {
      expect(chiSquareQuantile(probability, freedom)).toBeCloseTo(
        jstat.chisquare.inv(probability, freedom),
        4,
      );
    }
  });

  it('refuses a probability of 1 and no degrees of freedom', () => {
    expect(() => chiSquareQuantile(1, 3)).toThrow(
      new RangeError(
        'FIGURE_INPUT chiSquareQuantile.probability [1]: got 1, expected more than 0 and less than 1',
      ),
    );
    expect(() => chiSquareQuantile(0.95, 0)).toThrow(
      new RangeError('FIGURE_INPUT chiSquareQuantile.degreesOfFreedom [1]: got 0, expected > 0'),
    );
  });

  it('has just the given part of the distribution below it', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 99 }), fc.integer({ min: 1, max: 60 }), (percent, freedom) => {
        const quantile = chiSquareQuantile(percent / 100, freedom);
        expect(regularizedGamma(freedom / 2, quantile / 2).lower).toBeCloseTo(percent / 100, 12);
      }),
      { numRuns: 30 },
    );
  });
});

describe('regularizedGamma', () => {
  it('leaves e^-2 above 2 for a shape of 1, by hand', () => {
    expect(regularizedGamma(1, 2).upper).toBeCloseTo(Math.exp(-2), 14);
  });

  it('has nothing below zero', () => {
    expect(regularizedGamma(3, 0)).toEqual({ lower: 0, upper: 1 });
  });

  it('refuses a shape that is not positive and a negative point', () => {
    expect(() => regularizedGamma(0, 1)).toThrow(
      new RangeError('FIGURE_INPUT regularizedGamma.shape [1]: got 0, expected > 0'),
    );
    expect(() => regularizedGamma(1, -1)).toThrow(
      new RangeError('FIGURE_INPUT regularizedGamma.x [1]: got -1, expected >= 0'),
    );
  });

  it('agrees on both sides of the point where the series gives way to the fraction, and makes a whole', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 300, noNaN: true }), (shape) => {
        const below = regularizedGamma(shape, (shape + 1) * (1 - 1e-12));
        const above = regularizedGamma(shape, (shape + 1) * (1 + 1e-12));
        expect(above.upper).toBeCloseTo(below.upper, 9);
        expect(above.lower + above.upper).toBe(1);
      }),
    );
  });
});

describe('sidakLevel', () => {
  it('makes each of six tests at 0.8512 % when together they may err in 5 %, by hand', () => {
    expect(sidakLevel(0.05, 6) * 100).toBeCloseTo(0.8512, 4);
  });

  it('leaves a single test at its level', () => {
    expect(sidakLevel(0.05, 1)).toBeCloseTo(0.05, 15);
  });

  it('refuses a level of 0 and no tests', () => {
    expect(() => sidakLevel(0, 6)).toThrow(
      new RangeError('FIGURE_INPUT sidakLevel.level [1]: got 0, expected more than 0 and less than 1'),
    );
    expect(() => sidakLevel(0.05, 0)).toThrow(
      new RangeError('FIGURE_INPUT sidakLevel.tests [1]: got 0, expected > 0'),
    );
  });
});
