import fc from 'fast-check';
import { median, medianAbsoluteDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { medianOf, medianOfSorted } from '#server/calc/statistics/median-of.ts';
import { robustScale } from '#server/calc/statistics/robust-scale.ts';
import { withoutOutliers } from '#server/calc/statistics/without-outliers.ts';

const E4 = [1, 1, 2, 2, 4, 6, 9];
const someValues = fc.array(fc.double({ min: -1000, max: 1000, noNaN: true }), {
  minLength: 1,
  maxLength: 40,
});

describe('medianOf', () => {
  it('gives 2 for 9, 1, 2, 1, 6, 2 and 4, by hand', () => {
    expect(medianOf([9, 1, 2, 1, 6, 2, 4])).toBe(2);
  });

  it('takes the mean of the two in the middle of an even number', () => {
    expect(medianOf([4, 1, 10, 2])).toBe(3);
    expect(medianOfSorted([1, 2, 4, 10])).toBe(3);
  });

  it('orders by size, not by letters', () => {
    expect(medianOf([100, 9, 20])).toBe(20);
  });

  it('refuses to find one of no values', () => {
    expect(() => medianOf([])).toThrow(
      new RangeError('FIGURE_INPUT medianOf.values count [1]: got 0, expected >= 1'),
    );
  });

  it('agrees with simple-statistics', () => {
    fc.assert(
      fc.property(someValues, (values) => {
        expect(medianOf(values)).toBeCloseTo(median(values), 12);
      }),
    );
  });
});

describe('robustScale', () => {
  it('gives median 2 and deviation 1.4826 for 1, 1, 2, 2, 4, 6 and 9 (E4, encyclopaedia example)', () => {
    expect(robustScale(E4).median).toBe(2);
    expect(robustScale(E4).deviation).toBeCloseTo(1.4826, 4);
  });

  it('has no deviation for a signal that is stuck', () => {
    expect(robustScale([5, 5, 5, 5, 9])).toEqual({ median: 5, deviation: null });
  });

  it('agrees with simple-statistics', () => {
    fc.assert(
      fc.property(someValues, (values) => {
        expect((robustScale(values).deviation ?? 0) / 1.482_602_218_505_602).toBeCloseTo(
          medianAbsoluteDeviation(values),
          9,
        );
      }),
    );
  });

  it('does not move when fewer than half of the values go wild', () => {
    fc.assert(
      fc.property(fc.double({ min: 20, max: 1e9, noNaN: true }), (wild) => {
        expect(robustScale([1, 2, 3, 4, 5, wild, wild * 2])).toEqual(robustScale([1, 2, 3, 4, 5, 100, 200]));
      }),
    );
  });
});

describe('withoutOutliers', () => {
  it('leaves out 9 alone of 1, 1, 2, 2, 4, 6 and 9 with a limit of 3, by hand', () => {
    expect(withoutOutliers(E4, 3)).toEqual([1, 1, 2, 2, 4, 6]);
  });

  it('keeps a value exactly at the limit', () => {
    // The median distance of -1, 0, 1 is 1, so that 1.4826 lies at a limit of 1.
    const deviation = robustScale([-2, -1, 0, 1, 2]).deviation ?? NaN;
    expect(withoutOutliers([-2, -1, 0, 1, 2], 2 / deviation)).toEqual([-2, -1, 0, 1, 2]);
    expect(withoutOutliers([-2, -1, 0, 1, 2], 1.999 / deviation)).toEqual([-1, 0, 1]);
  });

  it('keeps all of a signal that is stuck', () => {
    expect(withoutOutliers([5, 5, 5, 9], 3)).toEqual([5, 5, 5, 9]);
  });

  it('refuses a limit that is not positive', () => {
    expect(() => withoutOutliers(E4, 0)).toThrow(
      new RangeError('FIGURE_INPUT withoutOutliers.limit [1]: got 0, expected > 0'),
    );
  });

  it('keeps at least half of the values', () => {
    fc.assert(
      fc.property(someValues, (values) => {
        expect(withoutOutliers(values, 3).length).toBeGreaterThanOrEqual(values.length / 2);
      }),
    );
  });
});
