import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanSeedYield } from '#server/calc/clean-seed-yield.ts';
import { rejectShare } from '#server/calc/reject-share.ts';
import { sumOf } from '#server/calc/sum-of.ts';
import { kilograms, kilogramsPerHour } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const lot = { feed: kilograms(10_000), cleanSeed: kilograms(8500), feedFloor: kilograms(50) };

describe('cleanSeedYield', () => {
  it('gives 0.85 for 8500 kg clean seed from 10000 kg feed, by hand', () => {
    expect(valueOf(cleanSeedYield(lot))).toBeCloseTo(0.85, 12);
  });

  it('gives the same for rates of one instant', () => {
    const now = {
      feed: kilogramsPerHour(12_000),
      cleanSeed: kilogramsPerHour(10_200),
      feedFloor: kilogramsPerHour(100),
    };
    expect(valueOf(cleanSeedYield(now))).toBeCloseTo(0.85, 12);
  });

  it('does not take a total and a rate together', () => {
    // @ts-expect-error A yield of kg over kg/h has no meaning, and the compiler says so.
    expect(valueOf(cleanSeedYield({ ...lot, cleanSeed: kilogramsPerHour(1) }))).toBeGreaterThan(0);
  });

  it('is unknown, not infinite, when nothing was fed', () => {
    expect(cleanSeedYield({ ...lot, feed: kilograms(0) })).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts a feed exactly at the floor as running, and just below it as stopped', () => {
    expect(cleanSeedYield({ ...lot, feed: kilograms(50) }).known).toBe(true);
    expect(cleanSeedYield({ ...lot, feed: kilograms(49.999) }).known).toBe(false);
  });

  it('keeps a yield above 1, because it tells of a wrong scale or lag', () => {
    expect(valueOf(cleanSeedYield({ ...lot, cleanSeed: kilograms(10_200) }))).toBeCloseTo(1.02, 12);
  });

  it.each([
    [{ feed: kilograms(-1) }, 'cleanSeedYield.feed [kg or kg/h]: got -1, expected >= 0'],
    [{ cleanSeed: kilograms(-1) }, 'cleanSeedYield.cleanSeed [kg or kg/h]: got -1, expected >= 0'],
    [{ feedFloor: kilograms(0) }, 'cleanSeedYield.feedFloor [kg or kg/h]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => cleanSeedYield({ ...lot, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('makes a whole together with the shares of all rejects, when the masses add up', () => {
    const masses = fc.array(fc.double({ min: 0.1, max: 1e5, noNaN: true }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(masses, fc.double({ min: 100, max: 1e6, noNaN: true }), (rejects, clean) => {
        const feed = kilograms(rejects.reduce((sum, mass) => sum + mass, clean));
        const shares = rejects.map((mass) =>
          valueOf(rejectShare({ lineFeed: feed, reject: kilograms(mass), lineFeedFloor: kilograms(1) })),
        );
        const yieldRatio = valueOf(
          cleanSeedYield({ feed, cleanSeed: kilograms(clean), feedFloor: kilograms(1) }),
        );
        expect(sumOf([yieldRatio, ...shares])).toBeCloseTo(1, 10);
      }),
    );
  });
});
