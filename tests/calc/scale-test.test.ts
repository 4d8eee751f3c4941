import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scaleTest } from '#server/calc/scale-test.ts';
import { kilograms, ratio } from '#server/calc/units.ts';

const load = { shown: kilograms(20_050), truth: kilograms(20_000) };
const BELT_SCALE = ratio(0.0025);

describe('scaleTest', () => {
  it('lets 20050 kg shown for 20000 kg stand at 0.25 %, and not 20050.1 kg (B10, NIST Handbook 44, 2.21)', () => {
    expect(scaleTest(load, BELT_SCALE)).toEqual({ error: 0.0025, stands: true });
    expect(scaleTest({ ...load, shown: kilograms(20_050.1) }, BELT_SCALE).stands).toBe(false);
  });

  it('judges too little like too much', () => {
    expect(scaleTest({ ...load, shown: kilograms(19_950) }, BELT_SCALE)).toEqual({
      error: -0.0025,
      stands: true,
    });
    expect(scaleTest({ ...load, shown: kilograms(19_949.9) }, BELT_SCALE).stands).toBe(false);
  });

  it.each([
    [{ ...load, shown: kilograms(-1) }, 0.0025, 'scaleTest.shown [kg]: got -1, expected >= 0'],
    [{ ...load, truth: kilograms(0) }, 0.0025, 'scaleTest.truth [kg]: got 0, expected > 0'],
    [load, 0, 'scaleTest.tolerance [1]: got 0, expected > 0'],
  ])('refuses %o at %d and names it', (wrong, tolerance, message) => {
    expect(() => scaleTest(wrong, ratio(tolerance))).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('finds the same error in loads of any size', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1e5, noNaN: true }), (truth) => {
        const { error } = scaleTest({ shown: kilograms(truth * 1.002), truth: kilograms(truth) }, BELT_SCALE);
        expect(error).toBeCloseTo(0.002, 12);
      }),
    );
  });
});
