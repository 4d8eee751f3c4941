import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { overallEffectiveness } from '#server/calc/effectiveness/overall-effectiveness.ts';
import { kilograms, kilogramsPerHour, milliseconds } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const MINUTE_MS = 60_000;
/** Nakajima, Introduction to TPM (1988): 480 min less 20 planned, 60 stopped; pieces of 0.5 min, counted as kilograms. */
const NAKAJIMA = {
  plannedBusy: milliseconds(460 * MINUTE_MS),
  actualProduction: milliseconds(400 * MINUTE_MS),
  ratedRate: kilogramsPerHour(120),
  produced: kilograms(400),
  good: kilograms(392),
};

describe('overallEffectiveness', () => {
  it('is 86.96, 50 and 98 %, overall 42.61 % (O1, Nakajima; the book prints 87, 50, 98 and 42.6)', () => {
    const { availability, effectiveness, qualityRatio, overall } = overallEffectiveness(NAKAJIMA);
    expect(valueOf(availability) * 100).toBeCloseTo(86.96, 2);
    expect(valueOf(effectiveness) * 100).toBeCloseTo(50, 10);
    expect(valueOf(qualityRatio) * 100).toBeCloseTo(98, 10);
    expect(valueOf(overall) * 100).toBeCloseTo(42.61, 2);
  });

  it('is 86.0 and 77.8 % for 910 min, 127 stopped, 203 cycles of 3 min (O2, TPM: A Route to World-Class Performance)', () => {
    const { availability, effectiveness } = overallEffectiveness({
      plannedBusy: milliseconds(910 * MINUTE_MS),
      actualProduction: milliseconds((910 - 127) * MINUTE_MS),
      ratedRate: kilogramsPerHour(20),
      produced: kilograms(203),
      good: kilograms(203),
    });
    expect(Math.abs(valueOf(availability) * 100 - 86)).toBeLessThan(0.1);
    expect(Math.abs(valueOf(effectiveness) * 100 - 77.7)).toBeLessThan(0.1);
  });

  it('keeps an effectiveness above 1, because it tells of a rated rate set too low', () => {
    const fast = overallEffectiveness({ ...NAKAJIMA, produced: kilograms(1000) });
    expect(valueOf(fast.effectiveness)).toBeCloseTo(1.25, 12);
  });

  it('is unknown where nothing was planned, run or produced', () => {
    const stopped = { known: false, because: 'line-stopped' };
    expect(overallEffectiveness({ ...NAKAJIMA, plannedBusy: milliseconds(0) })).toMatchObject({
      availability: stopped,
      overall: stopped,
    });
    expect(overallEffectiveness({ ...NAKAJIMA, actualProduction: milliseconds(0) })).toMatchObject({
      availability: { known: true, value: 0 },
      effectiveness: stopped,
      overall: stopped,
    });
    expect(overallEffectiveness({ ...NAKAJIMA, produced: kilograms(0) })).toMatchObject({
      effectiveness: { known: true, value: 0 },
      qualityRatio: stopped,
      overall: stopped,
    });
  });

  it.each([
    [{ plannedBusy: milliseconds(-1) }, 'plannedBusy [ms]: got -1, expected >= 0'],
    [{ actualProduction: milliseconds(-1) }, 'actualProduction [ms]: got -1, expected >= 0'],
    [{ ratedRate: kilogramsPerHour(0) }, 'ratedRate [kg/h]: got 0, expected > 0'],
    [{ produced: kilograms(-1) }, 'produced [kg]: got -1, expected >= 0'],
    [{ good: kilograms(-1) }, 'good [kg]: got -1, expected >= 0'],
  ])('refuses %o and names it', (wrong, message) => {
    const compute = () => overallEffectiveness({ ...NAKAJIMA, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT overallEffectiveness.${message}`));
  });

  it('is, overall, the good seed over what the planned time could have made', () => {
    const kg = fc.double({ min: 1, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(kg, kg, (produced, good) => {
        const { overall } = overallEffectiveness({
          ...NAKAJIMA,
          produced: kilograms(produced),
          good: kilograms(good),
        });
        expect(valueOf(overall) / (good / (120 * (460 / 60)))).toBeCloseTo(1, 10);
      }),
    );
  });
});
