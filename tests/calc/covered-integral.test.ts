import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coveredIntegral } from '#server/calc/covered-integral.ts';

const second = { fromMs: 0, toMs: 1000 };
const linear = { between: 'linear', maxGapMs: 1000 } as const;

/** What goes wrong at gaps and edges is tested through `totalFromRate`. */
describe('coveredIntegral', () => {
  it('is 5000 over 0 to 1000 ms, all covered, from 0 at 0 ms to 10 at 1000 ms on a straight line, by hand', () => {
    const samples = [
      { timeMs: 0, value: 0 },
      { timeMs: 1000, value: 10 },
    ];
    expect(coveredIntegral(samples, second, linear)).toEqual({ integral: 5000, coveredMs: 1000 });
  });

  it('lets negative values of a signal take away', () => {
    const samples = [
      { timeMs: 0, value: -5 },
      { timeMs: 1000, value: -5 },
    ];
    expect(coveredIntegral(samples, second, linear).integral).toBe(-5000);
  });

  it('grows in proportion to the signal', () => {
    const value = fc.double({ min: -100, max: 100, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 2, maxLength: 10 }), (values) => {
        const at = (factor: number) =>
          values.map((each, index) => ({ timeMs: index * 100, value: each * factor }));
        const single = coveredIntegral(at(1), second, linear);
        const double = coveredIntegral(at(2), second, linear);
        expect(double.integral).toBeCloseTo(2 * single.integral, 6);
        expect(double.coveredMs).toBe(single.coveredMs);
      }),
    );
  });
});
