import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { doseOverWindow } from '#server/calc/dose/dose-over-window.ts';
import { kilograms, millilitres } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const window = { liquid: millilitres(4500), seed: kilograms(1500), seedFloor: kilograms(10) };

describe('doseOverWindow', () => {
  it('gives 300 mL/100 kg for 4500 mL onto 1500 kg, by hand', () => {
    expect(valueOf(doseOverWindow(window))).toBeCloseTo(300, 12);
  });

  it('is unknown, not infinite, when no seed passed', () => {
    const stopped = { ...window, seed: kilograms(0) };
    expect(doseOverWindow(stopped)).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts seed exactly at the floor, and no less', () => {
    expect(doseOverWindow({ ...window, seed: kilograms(10) }).known).toBe(true);
    expect(doseOverWindow({ ...window, seed: kilograms(9.999) }).known).toBe(false);
  });

  it.each([
    [{ liquid: millilitres(-1) }, 'doseOverWindow.liquid [mL]: got -1, expected >= 0'],
    [{ seed: kilograms(-1) }, 'doseOverWindow.seed [kg]: got -1, expected >= 0'],
    [{ seedFloor: kilograms(0) }, 'doseOverWindow.seedFloor [kg]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => doseOverWindow({ ...window, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('lies between the doses of the two halves of a window', () => {
    const amount = fc.double({ min: 10, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(amount, amount, amount, amount), ([liquidA, seedA, liquidB, seedB]) => {
        const dose = (liquid: number, seed: number) =>
          valueOf(doseOverWindow({ ...window, liquid: millilitres(liquid), seed: kilograms(seed) }));
        const halves = [dose(liquidA, seedA), dose(liquidB, seedB)];
        const whole = dose(liquidA + liquidB, seedA + seedB);
        expect(whole).toBeGreaterThanOrEqual(Math.min(...halves) * (1 - 1e-12));
        expect(whole).toBeLessThanOrEqual(Math.max(...halves) * (1 + 1e-12));
      }),
    );
  });
});
