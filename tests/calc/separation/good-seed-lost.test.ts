import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { goodSeedLost } from '#server/calc/separation/good-seed-lost.ts';
import { worthOfGoodSeedLost } from '#server/calc/separation/worth-of-good-seed-lost.ts';
import { kilogramsPerHour, moneyPerKilogram, ratio } from '#server/calc/units.ts';

const prices = { seed: moneyPerKilogram(1.2), salvage: moneyPerKilogram(0.2) };

describe('goodSeedLost', () => {
  it('gives 140 kg/h for 400 kg/h of lights that are 35 % good seed, by hand', () => {
    expect(goodSeedLost(kilogramsPerHour(400), ratio(0.35))).toBeCloseTo(140, 10);
  });

  it('refuses a negative rate and a fraction outside 0 to 1', () => {
    expect(() => goodSeedLost(kilogramsPerHour(-1), ratio(0.5))).toThrow(
      new RangeError('FIGURE_INPUT goodSeedLost.reject [kg/h]: got -1, expected >= 0'),
    );
    expect(() => goodSeedLost(kilogramsPerHour(1), ratio(1.5))).toThrow(
      new RangeError('FIGURE_INPUT goodSeedLost.pureSeed [1]: got 1.5, expected 0 to 1'),
    );
  });

  it('is never more than the whole reject', () => {
    const rate = fc.double({ min: 0, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(rate, fc.double({ min: 0, max: 1, noNaN: true }), (reject, pure) => {
        expect(goodSeedLost(kilogramsPerHour(reject), ratio(pure))).toBeLessThanOrEqual(reject);
      }),
    );
  });
});

describe('worthOfGoodSeedLost', () => {
  it('gives 140 an hour for 140 kg/h worth 1.20 a kg and sold for 0.20, by hand', () => {
    expect(worthOfGoodSeedLost(kilogramsPerHour(140), prices)).toBeCloseTo(140, 10);
  });

  it('is negative where rejects sell better than seed', () => {
    const upsideDown = { seed: moneyPerKilogram(0.2), salvage: moneyPerKilogram(0.3) };
    expect(worthOfGoodSeedLost(kilogramsPerHour(10), upsideDown)).toBeCloseTo(-1, 10);
  });

  it.each([
    [-1, prices, 'worthOfGoodSeedLost.lost [kg/h]: got -1, expected >= 0'],
    [
      1,
      { ...prices, seed: moneyPerKilogram(-1) },
      'worthOfGoodSeedLost.seed [money/kg]: got -1, expected >= 0',
    ],
    [
      1,
      { ...prices, salvage: moneyPerKilogram(-1) },
      'worthOfGoodSeedLost.salvage [money/kg]: got -1, expected >= 0',
    ],
  ])('refuses %d kg/h with %o and names it', (lost, wrong, message) => {
    const compute = () => worthOfGoodSeedLost(kilogramsPerHour(lost), wrong);
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('grows in proportion to the seed lost', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e4, noNaN: true }), (lost) => {
        expect(worthOfGoodSeedLost(kilogramsPerHour(lost), prices)).toBeCloseTo(lost, 8);
      }),
    );
  });
});
