import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { normalQuantile } from '#server/calc/statistics/normal-quantile.ts';
import { normalUpperTail } from '#server/calc/statistics/normal-upper-tail.ts';

describe('normalQuantile', () => {
  it('gives 1.959964 for 97.5 % (every table of the normal distribution)', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959_963_984_540_054, 12);
  });

  it('gives 1 / 1.4826022185 for 75 %, by which a median absolute deviation becomes a standard deviation', () => {
    expect(1 / normalQuantile(0.75)).toBeCloseTo(1.482_602_218_5, 10);
  });

  it('gives 0 for one half', () => {
    expect(normalQuantile(0.5)).toBe(0);
  });

  it.each([0.0005, 0.01, 0.1, 0.3, 0.6, 0.9, 0.999])('agrees with jStat at %d', (probability) => {
    expect(normalQuantile(probability)).toBeCloseTo(jstat.normal.inv(probability, 0, 1), 7);
  });

  it.each([0, 1, -0.1, 1.1, NaN])('refuses a probability of %d', (probability) => {
    expect(() => normalQuantile(probability)).toThrow(
      new RangeError(
        `FIGURE_INPUT normalQuantile.probability [1]: got ${probability}, expected more than 0 and less than 1`,
      ),
    );
  });

  it('is as far below 0 for a small probability as above it for the rest', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 511 }), (of1024) => {
        const probability = of1024 / 1024;
        expect(normalQuantile(probability)).toBeCloseTo(-normalQuantile(1 - probability), 12);
        expect(1 - normalUpperTail(normalQuantile(probability))).toBeCloseTo(probability, 12);
      }),
      { numRuns: 30 },
    );
  });
});

describe('normalUpperTail', () => {
  it('leaves 2.5 % above 1.959964, by table', () => {
    expect(normalUpperTail(1.959_963_984_540_054)).toBeCloseTo(0.025, 12);
  });

  it('keeps its digits far out: 9.8659e-10 above 6 (table of the error function)', () => {
    expect(normalUpperTail(6) / 9.865_876_450_377e-10).toBeCloseTo(1, 10);
  });

  it.each([-3, -1, -0.2, 0, 0.2, 1, 1.3, 2.5, 4])('agrees with jStat at %d', (z) => {
    expect(normalUpperTail(z)).toBeCloseTo(jstat.normal.cdf(-z, 0, 1), 7);
  });

  it('refuses a point that is no number', () => {
    expect(() => normalUpperTail(NaN)).toThrow(
      new RangeError('FIGURE_INPUT normalUpperTail.z [1]: got NaN, expected a finite number'),
    );
  });
});
