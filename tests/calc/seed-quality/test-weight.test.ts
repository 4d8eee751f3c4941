import fc from 'fast-check';
import Qty from 'js-quantities';
import { describe, expect, it } from 'vitest';
import { PLAIN_UNITS, testWeight } from '#server/calc/seed-quality/test-weight.ts';
import { poundsPerBushel } from '#server/calc/units.ts';

/** How the US inspection service states wheat other than durum (7 CFR 810.103, from memory). */
const WHEAT = { slope: 1.292, interceptKgPerHl: 1.419 };

describe('testWeight', () => {
  it('is 77.231 kg/hL for 60 lb/bu in plain units, by hand', () => {
    expect(testWeight(poundsPerBushel(60), PLAIN_UNITS)).toBeCloseTo(77.231_16, 5);
  });

  it('takes 1.287185978 kg/hL for 1 lb/bu, against js-quantities', () => {
    const oracle = Qty('1 lb/bu').to('kg/hl').scalar;
    expect(testWeight(poundsPerBushel(1), PLAIN_UNITS)).toBeCloseTo(oracle, 4);
    expect(testWeight(poundsPerBushel(1), PLAIN_UNITS)).toBeCloseTo(1.287_185_978, 9);
  });

  it('is 78.939 kg/hL for 60 lb/bu of wheat by its own convention, by hand', () => {
    expect(testWeight(poundsPerBushel(60), WHEAT)).toBeCloseTo(78.939, 10);
  });

  it.each([
    [-1, WHEAT, 'testWeight.weight [lb/bu]: got -1, expected >= 0'],
    [1, { ...WHEAT, slope: 0 }, 'testWeight.slope [1]: got 0, expected > 0'],
    [
      1,
      { ...WHEAT, interceptKgPerHl: NaN },
      'testWeight.interceptKgPerHl [kg/hL]: got NaN, expected a finite number',
    ],
  ])('refuses %d lb/bu with %o and names it', (weight, convention, message) => {
    const compute = () => testWeight(poundsPerBushel(weight), convention);
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('keeps the order of seeds', () => {
    const weight = fc.double({ min: 0, max: 80, noNaN: true });
    fc.assert(
      fc.property(weight, weight, (a, b) => {
        fc.pre(Math.abs(a - b) > 1e-6);
        const heavier = testWeight(poundsPerBushel(a), WHEAT) > testWeight(poundsPerBushel(b), WHEAT);
        expect(heavier).toBe(a > b);
      }),
    );
  });
});
