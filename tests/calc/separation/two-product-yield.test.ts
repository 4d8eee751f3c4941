import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { twoProductYield } from '#server/calc/separation/two-product-yield.ts';
import { valueOf } from '#tests/support/value-of.ts';

describe('twoProductYield', () => {
  it('gives 8.16327 %, recovery 81.6327 %, ratio of concentration 12.25 (B1, public mineral-processing example)', () => {
    const part = valueOf(twoProductYield({ feed: 1, product: 10, reject: 0.2 }));
    expect(part * 100).toBeCloseTo(8.163_27, 5);
    expect(((part * 10) / 1) * 100).toBeCloseTo(81.6327, 4);
    expect(1 / part).toBeCloseTo(12.25, 10);
  });

  it('gives 31.034 % and recovery 93.103 % (B2, engineering examination with worked solution)', () => {
    const part = valueOf(twoProductYield({ feed: 10, product: 30, reject: 1 }));
    expect(part * 100).toBeCloseTo(31.034, 3);
    expect(((part * 30) / 10) * 100).toBeCloseTo(93.103, 3);
  });

  it('gives 88.889 % for a feed 92, product 98.5 and reject 40 % pure (B4, by hand)', () => {
    expect(valueOf(twoProductYield({ feed: 92, product: 98.5, reject: 40 })) * 100).toBeCloseTo(88.889, 3);
  });

  it('works on the impurities as well, where the product has less than the feed', () => {
    expect(valueOf(twoProductYield({ feed: 8, product: 1.5, reject: 60 })) * 100).toBeCloseTo(88.889, 3);
  });

  it.each([
    ['product and reject are alike', { feed: 5, product: 5, reject: 5 }],
    ['the feed is better than the product', { feed: 11, product: 10, reject: 1 }],
    ['the feed is worse than the reject', { feed: 0.5, product: 10, reject: 1 }],
  ])('is unknown when %s', (_, assays) => {
    expect(twoProductYield(assays)).toEqual({ known: false, because: 'inputs-inconsistent' });
  });

  it('is 1 when the feed is like the product, and 0 when it is like the reject', () => {
    expect(valueOf(twoProductYield({ feed: 10, product: 10, reject: 1 }))).toBe(1);
    expect(valueOf(twoProductYield({ feed: 1, product: 10, reject: 1 }))).toBe(0);
  });

  it.each(['feed', 'product', 'reject'])('refuses a negative %s', (name) => {
    expect(() => twoProductYield({ feed: 1, product: 10, reject: 0.2, [name]: -1 })).toThrow(
      new RangeError(`FIGURE_INPUT twoProductYield.${name}: got -1, expected >= 0`),
    );
  });

  it('finds the yield that the masses have', () => {
    const mass = fc.double({ min: 1, max: 1000, noNaN: true });
    const purity = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(mass, mass, fc.tuple(purity, purity), (clean, lost, [product, reject]) => {
        fc.pre(Math.abs(product - reject) > 0.01);
        const feed = (clean * product + lost * reject) / (clean + lost);
        const between = Math.min(Math.max(feed, Math.min(product, reject)), Math.max(product, reject));
        const part = valueOf(twoProductYield({ feed: between, product, reject }));
        expect(part).toBeCloseTo(clean / (clean + lost), 9);
      }),
    );
  });
});
