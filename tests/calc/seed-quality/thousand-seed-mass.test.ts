import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { thousandSeedMass } from '#server/calc/seed-quality/thousand-seed-mass.ts';
import { grams, ratio } from '#server/calc/units.ts';

const same = new Array<number>(8).fill(17.45).map(grams);
const spread = [17, 18, 17, 18, 17, 18, 17, 18].map(grams);

describe('thousandSeedMass', () => {
  it('is 174.5 g for eight replicates of 17.45 g, by hand', () => {
    const { mass, variation, stands } = thousandSeedMass(same, ratio(0.04));
    expect(mass).toBeCloseTo(174.5, 10);
    expect(variation).toBeCloseTo(0, 10);
    expect(stands).toBe(true);
  });

  it('stands up to the limit of variation, and not beyond', () => {
    const { variation } = thousandSeedMass(spread, ratio(0.04));
    expect(variation).toBeCloseTo(Math.sqrt(2 / 7) / 17.5, 10);
    expect(thousandSeedMass(spread, variation).stands).toBe(true);
    expect(thousandSeedMass(spread, ratio(variation * 0.999)).stands).toBe(false);
  });

  it('refuses seven replicates, an empty one, and a limit of 0', () => {
    expect(() => thousandSeedMass(same.slice(1), ratio(0.04))).toThrow(
      new RangeError('FIGURE_INPUT thousandSeedMass.replicates count [1]: got 7, expected >= 8'),
    );
    expect(() => thousandSeedMass([...same, grams(0)], ratio(0.04))).toThrow(
      new RangeError('FIGURE_INPUT thousandSeedMass.replicates[8] [g]: got 0, expected > 0'),
    );
    expect(() => thousandSeedMass(same, ratio(0))).toThrow(
      new RangeError('FIGURE_INPUT thousandSeedMass.variationMax [1]: got 0, expected > 0'),
    );
  });

  it('grows with the replicates, and varies no more for it', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (factor) => {
        const scaled = thousandSeedMass(
          spread.map((mass) => grams(mass * factor)),
          ratio(0.04),
        );
        expect(scaled.mass / factor).toBeCloseTo(175, 8);
        expect(scaled.variation).toBeCloseTo(Math.sqrt(2 / 7) / 17.5, 10);
      }),
    );
  });
});
