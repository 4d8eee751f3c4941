import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mannKendall } from '#server/calc/statistics/mann-kendall.ts';

/** EPA QA/G-9S (2006), p. 109 (E5). */
const EPA = [10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15];
/** Helsel & Hirsch, USGS TWRI 4-A3, ch. 10 (E7). */
const HELSEL = [1, 2, 3, 4, 5, 16, 7];

/** Values with `falls` falling pairs: the first value is put behind that many others, and so on. */
function withFalls(count: number, falls: number): readonly number[] {
  const left = Array.from({ length: count }, (_, index) => index);
  let rest = falls;
  const order: number[] = [];
  while (left.length > 0) {
    const skipped = Math.min(rest, left.length - 1);
    rest -= skipped;
    order.push(...left.splice(skipped, 1));
  }
  return order;
}

describe('mannKendall', () => {
  it('gives s 19 and z 2.7034 for 1, 2, 3, 4, 5, 16, 7; exactly, p is 0.00139 on one side (E7)', () => {
    const trend = mannKendall(HELSEL);
    expect(trend?.s).toBe(19);
    expect(trend?.z).toBeCloseTo(2.7034, 4);
    expect((trend?.pValue ?? NaN) / 2).toBeCloseTo(0.001_39, 5);
  });

  it('gives s 22, variance 155.33, z 1.685 and p 0.092 with ties (E5, EPA QA/G-9S)', () => {
    const trend = mannKendall(EPA);
    expect(trend?.s).toBe(22);
    expect(trend?.variance).toBeCloseTo(155.33, 2);
    expect(trend?.z).toBeCloseTo(1.685, 3);
    expect(trend?.pValue).toBeCloseTo(0.092, 3);
  });

  // Critical |s| on one side, in environmental practice: 90, 95 and 99 %. A printed value that s cannot take stands for
  // the next one that it can.
  it.each([
    [4, [6, 6]],
    [5, [7, 8, 10]],
    [6, [8, 11, 13]],
    [7, [10, 13, 17]],
    [8, [11, 16, 20]],
    [9, [14, 18, 24]],
    [10, [16, 21, 27]],
  ])('has the critical values of the exact table for %d values', (count, criticals) => {
    const pairs = (count * (count - 1)) / 2;
    for (const [index, critical] of criticals.entries()) {
      const s = critical + ((pairs - critical) % 2);
      const level = [0.1, 0.05, 0.01][index] ?? NaN;
      const trend = mannKendall(withFalls(count, (pairs - s) / 2));
      expect(trend?.s).toBe(s);
      expect((trend?.pValue ?? NaN) / 2, `${count} values, s ${s}`).toBeLessThanOrEqual(level * 1.02);
    }
  });

  it('sees no trend in values that rise as often as they fall', () => {
    expect(mannKendall([2, 3, 3, 2])).toMatchObject({ s: 0, z: 0, pValue: 1 });
  });

  it('counts exactly up to ten values: p 0.036 on one side for ten with s 21 (Kendall, table of s)', () => {
    const trend = mannKendall(withFalls(10, 12));
    expect(trend?.s).toBe(21);
    expect((trend?.pValue ?? NaN) / 2).toBeCloseTo(0.036, 3);
  });

  it('is null with three values, and when all are the same', () => {
    expect(mannKendall([1, 2, 3])).toBeNull();
    expect(mannKendall([5, 5, 5, 5, 5])).toBeNull();
    expect(mannKendall([1, 2, 3, 4])).not.toBeNull();
  });

  it('changes its sign, and nothing else, when time runs backwards', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 20 }), { minLength: 4, maxLength: 20 }), (values) => {
        fc.pre(new Set(values).size > 1);
        const forward = mannKendall(values);
        const backward = mannKendall(values.toReversed());
        expect(backward?.s).toBe(-(forward?.s ?? NaN) + 0);
        expect(backward?.pValue).toBeCloseTo(forward?.pValue ?? NaN, 12);
      }),
    );
  });
});
