import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pureLiveSeed } from '#server/calc/seed-quality/pure-live-seed.ts';
import { purityAnalysis } from '#server/calc/seed-quality/purity-analysis.ts';
import { sumOf } from '#server/calc/sum-of.ts';
import { grams, ratio } from '#server/calc/units.ts';

const sample = { pureSeed: grams(98), otherCrop: grams(0.5), inert: grams(1.4), weed: grams(0.1) };

describe('pureLiveSeed', () => {
  it('is 90.16 % for purity 98 % and germination 92 % (Q1, by hand)', () => {
    expect(pureLiveSeed({ purity: ratio(0.98), germination: ratio(0.92) }) * 100).toBeCloseTo(90.16, 10);
  });

  it.each([
    [{ purity: ratio(1.01) }, 'pureLiveSeed.purity [1]: got 1.01, expected 0 to 1'],
    [{ germination: ratio(-0.01) }, 'pureLiveSeed.germination [1]: got -0.01, expected 0 to 1'],
  ])('refuses %o and names it', (wrong, message) => {
    const compute = () => pureLiveSeed({ purity: ratio(0.98), germination: ratio(0.92), ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('is never more than either of the two', () => {
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(share, share, (purity, germination) => {
        const live = pureLiveSeed({ purity: ratio(purity), germination: ratio(germination) });
        expect(live).toBeLessThanOrEqual(Math.min(purity, germination));
      }),
    );
  });
});

describe('purityAnalysis', () => {
  it('finds a purity of 0.98 in 98 g of 100 g, by hand', () => {
    expect(purityAnalysis(sample)?.pureSeed).toBeCloseTo(0.98, 12);
  });

  it('is null when nothing was weighed', () => {
    const nothing = { pureSeed: grams(0), otherCrop: grams(0), inert: grams(0), weed: grams(0) };
    expect(purityAnalysis(nothing)).toBeNull();
  });

  it.each(['pureSeed', 'otherCrop', 'inert', 'weed'])('refuses a negative mass of %s', (name) => {
    expect(() => purityAnalysis({ ...sample, [name]: grams(-1) })).toThrow(
      new RangeError(`FIGURE_INPUT purityAnalysis.${name} [g]: got -1, expected >= 0`),
    );
  });

  it('gives shares that make a whole', () => {
    const mass = fc.double({ min: 0.001, max: 900, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(mass, mass, mass, mass), ([pureSeed, otherCrop, inert, weed]) => {
        const shares = purityAnalysis({
          pureSeed: grams(pureSeed),
          otherCrop: grams(otherCrop),
          inert: grams(inert),
          weed: grams(weed),
        });
        expect(sumOf(Object.values(shares ?? {}))).toBeCloseTo(1, 12);
      }),
    );
  });
});
