import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { goodSeedRecovery } from '#server/calc/separation/good-seed-recovery.ts';
import { impurityRejection } from '#server/calc/separation/impurity-rejection.ts';
import { separationEfficiency } from '#server/calc/separation/separation-efficiency.ts';
import { ratio } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const samples = { yield: ratio(8 / 9), feedPurity: ratio(0.92), productPurity: ratio(0.985) };
const separation = {
  yield: ratio(8 / 9),
  feedAssay: ratio(0.92),
  productAssay: ratio(0.985),
  highestAssay: ratio(1),
};

describe('goodSeedRecovery', () => {
  it('gives 95.169 %, and 4.831 % good seed lost, for B4 (by hand)', () => {
    expect(valueOf(goodSeedRecovery(samples)) * 100).toBeCloseTo(95.169, 3);
    expect((1 - valueOf(goodSeedRecovery(samples))) * 100).toBeCloseTo(4.831, 3);
  });

  it('is unknown when more good seed came out than went in', () => {
    const impossible = { ...samples, yield: ratio(0.95) };
    expect(goodSeedRecovery(impossible)).toEqual({ known: false, because: 'inputs-inconsistent' });
  });

  it('is 1, and known, when nothing was lost', () => {
    const lossless = { yield: ratio(0.5), feedPurity: ratio(0.5), productPurity: ratio(1) };
    expect(valueOf(goodSeedRecovery(lossless))).toBe(1);
  });

  it.each([
    [{ yield: ratio(1.1) }, 'goodSeedRecovery.yield [1]: got 1.1, expected 0 to 1'],
    [{ feedPurity: ratio(0) }, 'goodSeedRecovery.feedPurity [1]: got 0, expected > 0'],
    [{ feedPurity: ratio(1.1) }, 'goodSeedRecovery.feedPurity [1]: got 1.1, expected 0 to 1'],
    [{ productPurity: ratio(-0.1) }, 'goodSeedRecovery.productPurity [1]: got -0.1, expected 0 to 1'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => goodSeedRecovery({ ...samples, ...wrong })).toThrow(
      new RangeError(`FIGURE_INPUT ${message}`),
    );
  });
});

describe('impurityRejection', () => {
  it('gives 83.333 % for B4 (by hand)', () => {
    expect(valueOf(impurityRejection(samples)) * 100).toBeCloseTo(83.333, 3);
  });

  it('is unknown when the feed is pure, or the product holds more impurity than the feed did', () => {
    const inconsistent = { known: false, because: 'inputs-inconsistent' };
    expect(impurityRejection({ ...samples, feedPurity: ratio(1), productPurity: ratio(1) })).toEqual(
      inconsistent,
    );
    expect(impurityRejection({ ...samples, productPurity: ratio(0.5) })).toEqual(inconsistent);
  });

  it('is 0, and known, when all impurities stayed', () => {
    expect(
      valueOf(impurityRejection({ yield: ratio(1), feedPurity: ratio(0.5), productPurity: ratio(0.5) })),
    ).toBe(0);
  });

  it.each([
    [{ yield: ratio(-0.1) }, 'impurityRejection.yield [1]: got -0.1, expected 0 to 1'],
    [{ feedPurity: ratio(1.1) }, 'impurityRejection.feedPurity [1]: got 1.1, expected 0 to 1'],
    [{ productPurity: ratio(1.1) }, 'impurityRejection.productPurity [1]: got 1.1, expected 0 to 1'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => impurityRejection({ ...samples, ...wrong })).toThrow(
      new RangeError(`FIGURE_INPUT ${message}`),
    );
  });
});

describe('separationEfficiency', () => {
  it('gives 0.78502 for B4 (by hand)', () => {
    expect(valueOf(separationEfficiency(separation))).toBeCloseTo(0.785_02, 5);
  });

  // Grade and recovery in per cent of 1 % tin ore whose mineral is 78.6 % tin; the book prints 61.8, 71.2 and 75.2.
  it.each([
    [63, 62, 61.8],
    [42, 72, 71.19],
    [21, 78, 75.24],
  ])(
    'agrees with the tin ore of grade %d and recovery %d: %d % (B3, Wills, ch. 1, from memory)',
    (grade, recovery, printed) => {
      const ore = {
        yield: ratio(recovery / 100 / grade),
        feedAssay: ratio(0.01),
        productAssay: ratio(grade / 100),
        highestAssay: ratio(0.786),
      };
      expect(Math.abs(valueOf(separationEfficiency(ore)) * 100 - printed)).toBeLessThan(0.1);
    },
  );

  it('is unknown when the feed holds nothing of the wanted part, or nothing else', () => {
    const inconsistent = { known: false, because: 'inputs-inconsistent' };
    expect(separationEfficiency({ ...separation, feedAssay: ratio(0) })).toEqual(inconsistent);
    expect(separationEfficiency({ ...separation, feedAssay: ratio(1) })).toEqual(inconsistent);
  });

  it.each([
    [{ yield: ratio(1.1) }, 'separationEfficiency.yield [1]: got 1.1, expected 0 to 1'],
    [{ highestAssay: ratio(0) }, 'separationEfficiency.highestAssay [1]: got 0, expected > 0'],
    [{ highestAssay: ratio(1.1) }, 'separationEfficiency.highestAssay [1]: got 1.1, expected 0 to 1'],
    [{ feedAssay: ratio(-0.1) }, 'separationEfficiency.feedAssay [1]: got -0.1, expected 0 to 1'],
    [{ productAssay: ratio(1.1) }, 'separationEfficiency.productAssay [1]: got 1.1, expected 0 to 1'],
  ])('refuses %o and names it', (wrong, message) => {
    const compute = () => separationEfficiency({ ...separation, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('is the good seed recovered less the impurity that stayed, whatever the samples', () => {
    const share = fc.double({ min: 0.05, max: 0.95, noNaN: true });
    fc.assert(
      fc.property(share, share, share, (part, feedPurity, rejectPurity) => {
        const productPurity = (feedPurity - (1 - part) * rejectPurity) / part;
        fc.pre(productPurity >= 0 && productPurity <= 1);
        const inputs = {
          yield: ratio(part),
          feedPurity: ratio(feedPurity),
          productPurity: ratio(productPurity),
        };
        const rejected = impurityRejection(inputs);
        const recovered = goodSeedRecovery(inputs);
        fc.pre(rejected.known && recovered.known);
        const efficiency = separationEfficiency({
          yield: inputs.yield,
          feedAssay: inputs.feedPurity,
          productAssay: inputs.productPurity,
          highestAssay: ratio(1),
        });
        expect(valueOf(efficiency)).toBeCloseTo(valueOf(recovered) - (1 - valueOf(rejected)), 9);
      }),
    );
  });
});
