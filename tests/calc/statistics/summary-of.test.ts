import fc from 'fast-check';
import { sampleStandardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { coefficientOfVariation } from '#server/calc/statistics/coefficient-of-variation.ts';
import { lagOneAutocorrelation } from '#server/calc/statistics/lag-one-autocorrelation.ts';
import { EMPTY_SUMMARY, standardDeviationOf, withValue } from '#server/calc/statistics/running-summary.ts';
import { summaryOf } from '#server/calc/statistics/summary-of.ts';
import strd from './nist-strd-univariate.json' with { type: 'json' };
import { valueOf } from '#tests/support/value-of.ts';

/** One value, then two others in turn: how NIST makes the sets NumAcc2 to NumAcc4. */
function inTurn(first: number, low: number, high: number) {
  return [first, ...Array.from({ length: 1000 }, (_, index) => (index % 2 === 0 ? low : high))];
}

interface Certified {
  readonly n: number;
  readonly mean: string;
  readonly sd: string;
  readonly lag1: string;
}

/** The relative tolerances are those that the data allow: NumAcc3 and 4 cannot be written exactly in doubles. */
const SETS: readonly (readonly [
  string,
  { certified: Certified; values: readonly number[]; tolerance: number },
])[] = [
  ['Michelso', { certified: strd.Michelso, values: strd.Michelso.y.map(Number), tolerance: 1e-12 }],
  ['Mavro', { certified: strd.Mavro, values: strd.Mavro.y.map(Number), tolerance: 1e-12 }],
  [
    'Lew (mean and deviation recomputed)',
    { certified: strd.Lew, values: strd.Lew.y.map(Number), tolerance: 1e-12 },
  ],
  ['PiDigits', { certified: strd.PiDigits, values: strd.PiDigits.y.split('').map(Number), tolerance: 1e-12 }],
  ['NumAcc1', { certified: strd.NumAcc1, values: strd.NumAcc1.y.map(Number), tolerance: 1e-12 }],
  ['NumAcc2', { certified: strd.NumAcc2, values: inTurn(1.2, 1.1, 1.3), tolerance: 1e-12 }],
  [
    'NumAcc3',
    { certified: strd.NumAcc3, values: inTurn(1_000_000.2, 1_000_000.1, 1_000_000.3), tolerance: 1e-9 },
  ],
  [
    'NumAcc4',
    { certified: strd.NumAcc4, values: inTurn(10_000_000.2, 10_000_000.1, 10_000_000.3), tolerance: 1e-8 },
  ],
];

describe('summaryOf', () => {
  it('gives mean 3 and deviation sqrt(7) for 1, 2 and 6, by hand', () => {
    expect(summaryOf([1, 2, 6])).toEqual({ count: 3, mean: 3, standardDeviation: Math.sqrt(7) });
  });

  it.each(SETS)(
    'has the certified mean and deviation of %s (NIST StRD)',
    (_, { certified, values, tolerance }) => {
      const { count, mean, standardDeviation } = summaryOf(values);
      expect(count).toBe(certified.n);
      expect(Math.abs(mean / Number(certified.mean) - 1)).toBeLessThan(tolerance);
      expect(Math.abs(standardDeviation / Number(certified.sd) - 1)).toBeLessThan(tolerance);
    },
  );

  it('has no deviation for fewer than two values', () => {
    expect(summaryOf([])).toEqual({ count: 0, mean: 0, standardDeviation: 0 });
    expect(summaryOf([7])).toEqual({ count: 1, mean: 7, standardDeviation: 0 });
  });

  it('refuses a value that is no number', () => {
    expect(() => summaryOf([1, NaN])).toThrow(
      new RangeError('FIGURE_INPUT withValue.value: got NaN, expected a finite number'),
    );
  });

  it('agrees with simple-statistics, and with adding the values one by one', () => {
    const values = fc.array(fc.double({ min: -1e4, max: 1e4, noNaN: true }), { minLength: 2, maxLength: 40 });
    fc.assert(
      fc.property(values, (each) => {
        const deviation = sampleStandardDeviation(each);
        expect(summaryOf(each).standardDeviation).toBeCloseTo(deviation, 6);
        const running = each.reduce((soFar, value) => withValue(soFar, value), EMPTY_SUMMARY);
        expect(standardDeviationOf(running)).toBe(summaryOf(each).standardDeviation);
      }),
    );
  });
});

describe('withValue', () => {
  it('leads to mean 10000002 and deviation 1 after 10000001, 10000003 and 10000002 (NumAcc1)', () => {
    const running = [10_000_001, 10_000_003, 10_000_002].reduce(
      (soFar, x) => withValue(soFar, x),
      EMPTY_SUMMARY,
    );
    expect(running.mean).toBe(10_000_002);
    expect(standardDeviationOf(running)).toBe(1);
  });
});

describe('lagOneAutocorrelation', () => {
  it('gives -0.5 for 10000001, 10000003 and 10000002 (NumAcc1)', () => {
    expect(lagOneAutocorrelation([10_000_001, 10_000_003, 10_000_002])).toBe(-0.5);
  });

  it.each(SETS)('has the certified value of %s (NIST StRD)', (_, { certified, values, tolerance }) => {
    expect(lagOneAutocorrelation(values)).toBeCloseTo(Number(certified.lag1), tolerance < 1e-11 ? 9 : 6);
  });

  it('is null for two values, and for values that are all the same', () => {
    expect(lagOneAutocorrelation([1, 2])).toBeNull();
    expect(lagOneAutocorrelation([3, 3, 3, 3])).toBeNull();
  });

  it('stays between -1 and 1', () => {
    const values = fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 3, maxLength: 30 });
    fc.assert(
      fc.property(values, (each) => {
        expect(Math.abs(lagOneAutocorrelation(each) ?? 0)).toBeLessThanOrEqual(1);
      }),
    );
  });
});

describe('coefficientOfVariation', () => {
  it('gives 0.1 for 9, 10 and 11, by hand', () => {
    expect(valueOf(coefficientOfVariation([9, 10, 11]))).toBeCloseTo(0.1, 12);
  });

  it.each([[[5]], [[]]])('is unknown for %j, too few to differ', (values) => {
    expect(coefficientOfVariation(values)).toEqual({ known: false, because: 'window-uncovered' });
  });

  it.each([[[0, 0]], [[-1, -2]]])('is unknown for %j, a mean that nothing is a share of', (values) => {
    expect(coefficientOfVariation(values)).toEqual({ known: false, because: 'line-stopped' });
  });

  it('does not change with the unit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1000, noNaN: true }), (factor) => {
        expect(valueOf(coefficientOfVariation([9, 10, 11].map((x) => x * factor)))).toBeCloseTo(0.1, 10);
      }),
    );
  });
});
