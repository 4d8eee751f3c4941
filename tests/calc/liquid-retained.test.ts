import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { liquidRetained } from '#server/calc/liquid-retained.ts';
import { seedBeforeTreatment } from '#server/calc/seed-before-treatment.ts';
import { gramsPerMillilitre, kilograms, millilitres, ratio } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const applied = { volume: millilitres(50_000), density: gramsPerMillilitre(1.1), retained: ratio(1) };

describe('liquidRetained', () => {
  it('gives 55 kg for 50 L of 1.1 g/mL, by hand', () => {
    expect(liquidRetained(applied)).toBeCloseTo(55, 10);
  });

  it('gives nothing when all of it is dried off again', () => {
    expect(liquidRetained({ ...applied, retained: ratio(0) })).toBe(0);
  });

  it.each([
    [{ volume: millilitres(-1) }, 'liquidRetained.volume [mL]: got -1, expected >= 0'],
    [{ density: gramsPerMillilitre(0) }, 'liquidRetained.density [g/mL]: got 0, expected > 0'],
    [{ retained: ratio(1.1) }, 'liquidRetained.retained [1]: got 1.1, expected 0 to 1'],
    [{ retained: ratio(-0.1) }, 'liquidRetained.retained [1]: got -0.1, expected 0 to 1'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => liquidRetained({ ...applied, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });
});

describe('seedBeforeTreatment', () => {
  it('gives 10000 kg for 10055 kg treated seed with 55 kg liquid on it, by hand', () => {
    expect(valueOf(seedBeforeTreatment(kilograms(10_055), kilograms(55)))).toBeCloseTo(10_000, 10);
  });

  it('is unknown, not negative, when there is more liquid than treated seed', () => {
    expect(seedBeforeTreatment(kilograms(50), kilograms(51))).toEqual({
      known: false,
      because: 'inputs-inconsistent',
    });
  });

  it('is zero, and known, when there is just as much liquid as treated seed', () => {
    expect(valueOf(seedBeforeTreatment(kilograms(50), kilograms(50)))).toBe(0);
  });

  it('refuses a negative mass', () => {
    expect(() => seedBeforeTreatment(kilograms(-1), kilograms(0))).toThrow(
      new RangeError('FIGURE_INPUT seedBeforeTreatment.treated [kg]: got -1, expected >= 0'),
    );
    expect(() => seedBeforeTreatment(kilograms(1), kilograms(-1))).toThrow(
      new RangeError('FIGURE_INPUT seedBeforeTreatment.liquid [kg]: got -1, expected >= 0'),
    );
  });

  it('gives back the seed that the liquid was put on', () => {
    const mass = fc.double({ min: 1, max: 1e5, noNaN: true });
    fc.assert(
      fc.property(mass, fc.double({ min: 0, max: 1e5, noNaN: true }), (seed, volume) => {
        const liquid = liquidRetained({ ...applied, volume: millilitres(volume) });
        expect(valueOf(seedBeforeTreatment(kilograms(seed + liquid), liquid))).toBeCloseTo(seed, 6);
      }),
    );
  });
});
