import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seriesYield } from '#server/calc/separation/series-yield.ts';
import { sumOf } from '#server/calc/sum-of.ts';
import { ratio } from '#server/calc/units.ts';

describe('seriesYield', () => {
  it('leaves 0.72 after machines that take 0.1 and 0.2, the second 0.18 of the feed, by hand', () => {
    const { yield: left, rejectShares } = seriesYield([ratio(0.1), ratio(0.2)]);
    expect(left).toBeCloseTo(0.72, 12);
    expect(rejectShares[0]).toBeCloseTo(0.1, 12);
    expect(rejectShares[1]).toBeCloseTo(0.18, 12);
  });

  it('leaves everything without a machine', () => {
    expect(seriesYield([])).toEqual({ yield: 1, rejectShares: [] });
  });

  it('takes ratios of exactly 0 and 1', () => {
    expect(seriesYield([ratio(0), ratio(1), ratio(0.5)])).toEqual({ yield: 0, rejectShares: [0, 1, 0] });
  });

  it.each([-0.01, 1.01])('refuses a ratio of %d and says which', (wrong) => {
    expect(() => seriesYield([ratio(0.1), ratio(wrong)])).toThrow(
      new RangeError(`FIGURE_INPUT seriesYield.rejectRatios[1] [1]: got ${wrong}, expected 0 to 1`),
    );
  });

  it('leaves and takes, together, the whole feed', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 10 }), (ratios) => {
        const series = seriesYield(ratios.map(ratio));
        expect(sumOf([series.yield, ...series.rejectShares])).toBeCloseTo(1, 12);
      }),
    );
  });
});
