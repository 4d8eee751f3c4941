import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rootOfFalling } from '#server/calc/statistics/root-of-falling.ts';

describe('rootOfFalling', () => {
  it('finds 2 for 2 - x', () => {
    expect(rootOfFalling((x) => 2 - x, { low: 0, high: 10 })).toBeCloseTo(2, 12);
  });

  it('gives the nearer end when there is no zero inside', () => {
    expect(rootOfFalling((x) => 20 - x, { low: 0, high: 10 })).toBeCloseTo(10, 12);
    expect(rootOfFalling((x) => -1 - x, { low: 0, high: 10 })).toBeCloseTo(0, 12);
  });

  it('finds the zero wherever it is', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (zero) => {
        expect(rootOfFalling((x) => zero - x, { low: -1e6, high: 1e6 })).toBeCloseTo(zero, 6);
      }),
    );
  });
});
