import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dosePerBushel } from '#server/calc/dose-per-bushel.ts';
import { kilogramsPerBushel, kilogramsPerHour, millilitresPerMinute } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const running = {
  doseRate: millilitresPerMinute(300),
  seedRate: kilogramsPerHour(9000),
  bushelMass: kilogramsPerBushel(27.2),
  seedRateFloor: kilogramsPerHour(100),
};

describe('dosePerBushel', () => {
  it('gives 54.4 mL/bu for 300 mL/min onto 9000 kg/h of 27.2 kg bushels, by hand', () => {
    expect(valueOf(dosePerBushel(running))).toBeCloseTo(54.4, 10);
  });

  it('is unknown, not infinite, when the line is stopped', () => {
    const stopped = { ...running, seedRate: kilogramsPerHour(0) };
    expect(dosePerBushel(stopped)).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts a seed flow exactly at the floor as running', () => {
    expect(dosePerBushel({ ...running, seedRate: running.seedRateFloor }).known).toBe(true);
  });

  it('counts a seed flow just below the floor as stopped', () => {
    expect(dosePerBushel({ ...running, seedRate: kilogramsPerHour(99.999) }).known).toBe(false);
  });

  it('is zero, and known, when no liquid flows onto running seed', () => {
    expect(valueOf(dosePerBushel({ ...running, doseRate: millilitresPerMinute(0) }))).toBe(0);
  });

  it.each([
    [{ doseRate: millilitresPerMinute(-1) }, 'dosePerBushel.doseRate [mL/min]: got -1, expected >= 0'],
    [{ seedRate: kilogramsPerHour(-2) }, 'dosePerBushel.seedRate [kg/h]: got -2, expected >= 0'],
    [{ bushelMass: kilogramsPerBushel(0) }, 'dosePerBushel.bushelMass [kg/bu]: got 0, expected > 0'],
    [{ seedRateFloor: kilogramsPerHour(0) }, 'dosePerBushel.seedRateFloor [kg/h]: got 0, expected > 0'],
    [
      { doseRate: millilitresPerMinute(NaN) },
      'dosePerBushel.doseRate [mL/min]: got NaN, expected a finite number',
    ],
    [
      { seedRate: kilogramsPerHour(Infinity) },
      'dosePerBushel.seedRate [kg/h]: got Infinity, expected a finite number',
    ],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => dosePerBushel({ ...running, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('stays the same when liquid and seed flow grow by the same factor', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1000, noNaN: true }), (factor) => {
        const scaled = {
          ...running,
          doseRate: millilitresPerMinute(300 * factor),
          seedRate: kilogramsPerHour(9000 * factor),
        };
        expect(valueOf(dosePerBushel(scaled))).toBeCloseTo(54.4, 8);
      }),
    );
  });
});
