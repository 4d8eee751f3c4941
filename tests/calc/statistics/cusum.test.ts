import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cusum, CUSUM_START, type CusumChart, type CusumStep } from '#server/calc/statistics/cusum.ts';

/** NIST/SEMATECH e-Handbook 6.3.2.3 (E2): twenty group means. */
const E2 = {
  chart: { target: 325, allowance: 0.3175, decision: 4.1959 },
  values: [
    324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15,
    328.325, 327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
  ],
  high: [
    0, 0, 0, 0, 0.0325, 0, 0, 0, 0, 0, 0, 0, 3.0075, 4.94, 7.4475, 10.63, 11.9875, 14.445, 16.0025, 19.035,
  ],
  low: [0, 0.0075, 0, 0.3325, 0, 0, 0.5575, 0.715, 0.1725, 0.255, 0.3125, 0, 0, 0, 0, 0, 0, 0, 0, 0],
};
/** Montgomery & Runger, Applied Statistics and Probability for Engineers, table 16-8 (E3). */
const E3 = {
  chart: { target: 99, allowance: 1, decision: 10 },
  values: [
    102, 94.8, 98.3, 98.4, 102, 98.5, 99, 97.7, 100, 98.1, 101.3, 98.7, 101.1, 98.4, 97, 96.7, 100.3, 101.4,
    97.2, 101,
  ],
  high: [2, 0, 0, 0, 2, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1],
  low: [0, 3.2, 2.9, 2.5, 0, 0, 0, 0.3, 0, 0, 0, 0, 0, 0, 1, 2.3, 0, 0, 0.8, 0],
};

function run(values: readonly number[], chart: CusumChart): readonly CusumStep[] {
  const steps: CusumStep[] = [];
  for (const value of values) steps.push(cusum(steps.at(-1) ?? CUSUM_START, value, chart));
  return steps;
}

describe('cusum', () => {
  it('leads from 0 to a high sum of 2 and a low sum of 0 with 102, by hand', () => {
    expect(cusum(CUSUM_START, 102, E3.chart)).toEqual({ high: 2, low: 0, signal: null });
  });

  it.each([
    ['E2, NIST e-Handbook', E2],
    ['E3, Montgomery & Runger', E3],
  ])('gives every sum of %s', (_, { values, chart, high, low }) => {
    for (const [index, step] of run(values, chart).entries()) {
      expect(step.high).toBeCloseTo(high[index] ?? NaN, 9);
      expect(step.low).toBeCloseTo(low[index] ?? NaN, 9);
    }
  });

  it('signals at group 14 of the NIST example first, and never in that of the textbook', () => {
    const signals = run(E2.values, E2.chart).map(({ signal }) => signal);
    expect(signals.findIndex((signal) => signal !== null) + 1).toBe(14);
    expect(signals[13]).toBe('high');
    expect(run(E3.values, E3.chart).every(({ signal }) => signal === null)).toBe(true);
  });

  it('signals above the decision, not at it, on either side', () => {
    const chart = { target: 0, allowance: 0, decision: 5 };
    expect(cusum(CUSUM_START, 5, chart).signal).toBeNull();
    expect(cusum(CUSUM_START, 5.001, chart).signal).toBe('high');
    expect(cusum(CUSUM_START, -5, chart).signal).toBeNull();
    expect(cusum(CUSUM_START, -5.001, chart).signal).toBe('low');
  });

  it.each([
    [NaN, {}, 'cusum.value: got NaN, expected a finite number'],
    [1, { target: Infinity }, 'cusum.target: got Infinity, expected a finite number'],
    [1, { allowance: -1 }, 'cusum.allowance: got -1, expected >= 0'],
    [1, { decision: 0 }, 'cusum.decision: got 0, expected > 0'],
  ])('refuses the value %d with %o and names it', (value, wrong, message) => {
    const compute = () => cusum(CUSUM_START, value, { ...E3.chart, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('swaps its sides when every value is mirrored at the target', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 1 }), (values) => {
        const chart = { target: 0, allowance: 1, decision: 10 };
        const last = run(values, chart).at(-1);
        const mirrored = run(
          values.map((value) => -value),
          chart,
        ).at(-1);
        expect(mirrored?.high).toBeCloseTo(last?.low ?? NaN, 9);
        expect(mirrored?.low).toBeCloseTo(last?.high ?? NaN, 9);
      }),
    );
  });
});
