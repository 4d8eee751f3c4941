import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { doseDeviation } from '#server/calc/dose/dose-deviation.ts';
import { millilitresPer100Kilograms as dose } from '#server/calc/units.ts';

describe('doseDeviation', () => {
  it('gives 0.02 for 306 mL/100 kg and a target of 300, by hand', () => {
    expect(doseDeviation(dose(306), dose(300))).toBeCloseTo(0.02, 12);
  });

  it('is -1 when there is no liquid', () => {
    expect(doseDeviation(dose(0), dose(300))).toBe(-1);
  });

  it('refuses a negative dose and a target that is not positive', () => {
    expect(() => doseDeviation(dose(-1), dose(300))).toThrow(
      new RangeError('FIGURE_INPUT doseDeviation.actual [mL/100kg]: got -1, expected >= 0'),
    );
    expect(() => doseDeviation(dose(1), dose(0))).toThrow(
      new RangeError('FIGURE_INPUT doseDeviation.target [mL/100kg]: got 0, expected > 0'),
    );
  });

  it('is the same in every unit of dose', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (factor) => {
        expect(doseDeviation(dose(306 * factor), dose(300 * factor))).toBeCloseTo(0.02, 10);
      }),
    );
  });
});
