import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { replicateCheck } from '#server/calc/seed-quality/replicate-check.ts';

describe('replicateCheck', () => {
  it('lets 94, 91, 88 and 93 stand: average 92, range 6, tolerated 11 (Q2)', () => {
    expect(replicateCheck([94, 91, 88, 93])).toEqual({
      averagePercent: 92,
      rangePercent: 6,
      toleratedPercent: 11,
      stands: true,
    });
  });

  it('lets a range of 5 stand at an average of 99, and not one of 6 (Q4)', () => {
    expect(replicateCheck([100, 100, 100, 95])).toMatchObject({ averagePercent: 99, stands: true });
    expect(replicateCheck([100, 100, 100, 94])).toMatchObject({
      averagePercent: 99,
      rangePercent: 6,
      stands: false,
    });
  });

  // 7 CFR 201.55 (70 to 99, 2 to 31); ISTA Rules, table 5B part 1, for the rest (from memory).
  it.each([
    [[99, 2], 5],
    [[98, 3], 6],
    [[97, 4], 7],
    [[96, 5], 8],
    [[95, 6], 9],
    [[93, 94, 7, 8], 10],
    [[91, 92, 9, 10], 11],
    [[90, 11, 89, 12], 12],
    [[88, 13, 87, 14], 13],
    [[84, 86, 15, 17], 14],
    [[81, 83, 18, 20], 15],
    [[78, 80, 21, 23], 16],
    [[76, 77, 24, 25, 73, 75, 26, 28], 17],
    [[70, 72, 29, 31, 67, 69, 32, 34], 18],
    [[56, 66, 35, 45], 19],
    [[51, 55, 46, 50], 20],
  ])('tolerates, at averages of %j, a range of %d', (averages, tolerated) => {
    for (const average of averages) {
      expect(replicateCheck([average, average, average, average]).toleratedPercent).toBe(tolerated);
    }
  });

  it.each([0, 1, 100])('decides nothing at an average of %d %%, where the table has no entry', (average) => {
    const same = [average, average, average, average];
    expect(replicateCheck(same)).toMatchObject({ toleratedPercent: null, stands: true });
  });

  it('refuses three replicates, and one that is no percentage', () => {
    expect(() => replicateCheck([90, 91, 92])).toThrow(
      new RangeError('FIGURE_INPUT replicateCheck.replicates count [1]: got 3, expected 4'),
    );
    expect(() => replicateCheck([90, 91, 92, 101])).toThrow(
      new RangeError('FIGURE_INPUT replicateCheck.replicates[3] [%]: got 101, expected 0 to 100'),
    );
  });

  it('stands up to the range that the average tolerates, and not beyond', () => {
    expect(replicateCheck([88, 98, 93, 93]).stands).toBe(true);
    expect(replicateCheck([88, 99, 93, 93]).stands).toBe(false);
  });

  it('finds the same range in seeds that germinate and seeds that do not', () => {
    const percent = fc.integer({ min: 0, max: 100 });
    fc.assert(
      fc.property(fc.tuple(percent, percent, percent, percent), (each) => {
        const own = replicateCheck(each);
        const mirrored = replicateCheck(each.map((value) => 100 - value));
        expect(mirrored.rangePercent).toBe(own.rangePercent);
        expect(replicateCheck(each.toReversed())).toEqual(own);
      }),
    );
  });
});
