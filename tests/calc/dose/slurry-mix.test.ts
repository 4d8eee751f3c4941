import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { productDose } from '#server/calc/dose/product-dose.ts';
import { pumpFlowForDose } from '#server/calc/dose/pump-flow-for-dose.ts';
import { slurryMix } from '#server/calc/dose/slurry-mix.ts';
import { sumOf } from '#server/calc/sum-of.ts';
import {
  gramsPerMillilitre,
  kilogramsPerHour,
  millilitresPer100Kilograms,
  ratio,
} from '#server/calc/units.ts';

function part(dose: number, density: number) {
  return { dose: millilitresPer100Kilograms(dose), density: gramsPerMillilitre(density) };
}

const recipe = [part(100, 1.1), part(50, 1.25), part(150, 0.998)];

describe('slurryMix', () => {
  it('makes 300 mL/100 kg of 1.074 g/mL of two products and water (D4, by hand)', () => {
    const { dose, density, shares } = slurryMix(recipe);
    expect(dose).toBeCloseTo(300, 10);
    expect(density).toBeCloseTo(1.074, 10);
    expect(shares[0]).toBeCloseTo(1 / 3, 10);
  });

  it('flows at 500 mL/min, 537 g/min, 32.22 kg/h at 10 t/h (D4, by hand)', () => {
    const { dose, density } = slurryMix(recipe);
    const flow = pumpFlowForDose(dose, kilogramsPerHour(10_000));
    expect(flow).toBeCloseTo(500, 10);
    expect(flow * density).toBeCloseTo(537, 8);
    expect((flow * density * 60) / 1000).toBeCloseTo(32.22, 8);
  });

  it('takes densities of exactly 0.7 and 1.6 g/mL', () => {
    expect(slurryMix([part(1, 0.7), part(1, 1.6)]).density).toBeCloseTo(1.15, 12);
  });

  it.each([
    [[part(-1, 1)], 'slurryMix.parts[0].dose [mL/100kg]: got -1, expected >= 0'],
    [[part(1, 1), part(1, 0.69)], 'slurryMix.parts[1].density [g/mL]: got 0.69, expected 0.7 to 1.6'],
    [[part(1, 1.61)], 'slurryMix.parts[0].density [g/mL]: got 1.61, expected 0.7 to 1.6'],
    [[part(0, 1)], 'slurryMix.parts total dose [mL/100kg]: got 0, expected > 0'],
    [[], 'slurryMix.parts total dose [mL/100kg]: got 0, expected > 0'],
  ])('refuses %j and names it', (parts, message) => {
    expect(() => slurryMix(parts)).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('gives shares that make a whole, and a density between the lightest and the heaviest part', () => {
    const parts = fc.array(
      fc.tuple(
        fc.double({ min: 0.1, max: 500, noNaN: true }),
        fc.double({ min: 0.7, max: 1.6, noNaN: true }),
      ),
      { minLength: 1, maxLength: 6 },
    );
    fc.assert(
      fc.property(parts, (pairs) => {
        const { density, shares } = slurryMix(pairs.map(([dose, each]) => part(dose, each)));
        const densities = pairs.map(([, each]) => each);
        expect(sumOf(shares)).toBeCloseTo(1, 12);
        expect(density).toBeGreaterThanOrEqual(Math.min(...densities) - 1e-12);
        expect(density).toBeLessThanOrEqual(Math.max(...densities) + 1e-12);
      }),
    );
  });
});

describe('productDose', () => {
  it('gives 90 mL/100 kg of a product that is a third of 270 mL/100 kg slurry, by hand', () => {
    expect(productDose(millilitresPer100Kilograms(270), ratio(1 / 3))).toBeCloseTo(90, 12);
  });

  it('takes shares of exactly 0 and 1', () => {
    expect(productDose(millilitresPer100Kilograms(270), ratio(0))).toBe(0);
    expect(productDose(millilitresPer100Kilograms(270), ratio(1))).toBe(270);
  });

  it('refuses a negative dose, and a share outside 0 to 1', () => {
    expect(() => productDose(millilitresPer100Kilograms(-1), ratio(1))).toThrow(
      new RangeError('FIGURE_INPUT productDose.slurryDose [mL/100kg]: got -1, expected >= 0'),
    );
    expect(() => productDose(millilitresPer100Kilograms(1), ratio(1.01))).toThrow(
      new RangeError('FIGURE_INPUT productDose.share [1]: got 1.01, expected 0 to 1'),
    );
    expect(() => productDose(millilitresPer100Kilograms(1), ratio(-0.01))).toThrow(
      new RangeError('FIGURE_INPUT productDose.share [1]: got -0.01, expected 0 to 1'),
    );
  });

  it('gives doses of all products that add up to the slurry', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1000, noNaN: true }), (slurry) => {
        const { shares } = slurryMix(recipe);
        const doses = shares.map((share) => productDose(millilitresPer100Kilograms(slurry), share));
        expect(sumOf(doses)).toBeCloseTo(slurry, 9);
      }),
    );
  });
});
