import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { activeIngredientContent } from '#server/calc/dose/active-ingredient-content.ts';
import { activeIngredientPerSeed } from '#server/calc/dose/active-ingredient-per-seed.ts';
import { convertDose } from '#server/calc/dose/convert-dose.ts';
import {
  gramsPerLitre,
  gramsPerThousandSeeds,
  kilogramsPerBushel,
  millilitresPer100Kilograms,
} from '#server/calc/units.ts';

const wheat = {
  dose: millilitresPer100Kilograms(100),
  content: gramsPerLitre(250),
  thousandSeedMass: gramsPerThousandSeeds(45),
};

describe('activeIngredientPerSeed', () => {
  it('gives 0.01125 mg for 100 mL/100 kg of 250 g/L on seed of 45 g a thousand (D6, by hand)', () => {
    expect(activeIngredientPerSeed(wheat)).toBeCloseTo(0.011_25, 14);
  });

  it('gives 0.162232 mg for 1.28 fl oz of 600 g/L on 140000 seeds, whatever they weigh (D5, by hand)', () => {
    for (const grams of [100, 174.5, 250]) {
      const thousandSeedMass = gramsPerThousandSeeds(grams);
      const unit = { bushelMass: kilogramsPerBushel(27.2), thousandSeedMass, seedsPerUnit: 140_000 };
      const dose = convertDose(1.28, { from: 'fl oz/unit', to: 'mL/100kg' }, unit);
      const inputs = {
        dose: millilitresPer100Kilograms(dose),
        content: gramsPerLitre(600),
        thousandSeedMass,
      };
      expect(activeIngredientPerSeed(inputs)).toBeCloseTo(0.162_232, 5);
    }
  });

  it('takes seed of exactly 0.05 and 1500 g a thousand', () => {
    for (const grams of [0.05, 1500]) {
      const inputs = { ...wheat, thousandSeedMass: gramsPerThousandSeeds(grams) };
      expect(activeIngredientPerSeed(inputs)).toBeCloseTo((0.011_25 * grams) / 45, 12);
    }
  });

  it.each([
    [
      { dose: millilitresPer100Kilograms(-1) },
      'activeIngredientPerSeed.dose [mL/100kg]: got -1, expected >= 0',
    ],
    [{ content: gramsPerLitre(-1) }, 'activeIngredientPerSeed.content [g/L]: got -1, expected >= 0'],
    [
      { thousandSeedMass: gramsPerThousandSeeds(0.04) },
      'activeIngredientPerSeed.thousandSeedMass [g/1000 seeds]: got 0.04, expected 0.05 to 1500',
    ],
    [
      { thousandSeedMass: gramsPerThousandSeeds(1501) },
      'activeIngredientPerSeed.thousandSeedMass [g/1000 seeds]: got 1501, expected 0.05 to 1500',
    ],
  ])('refuses %o and names it', (wrong, message) => {
    const compute = () => activeIngredientPerSeed({ ...wheat, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('agrees with the mass fraction times the mass of a seed', () => {
    const positive = fc.double({ min: 1, max: 1000, noNaN: true });
    fc.assert(
      fc.property(positive, positive, positive, (dose, content, grams) => {
        const inputs = {
          dose: millilitresPer100Kilograms(dose),
          content: gramsPerLitre(content),
          thousandSeedMass: gramsPerThousandSeeds(grams),
        };
        const fraction = activeIngredientContent(inputs.dose, inputs.content);
        // A thousand seeds of g grams weigh g milligrams each.
        expect(activeIngredientPerSeed(inputs) / (fraction * grams)).toBeCloseTo(1, 12);
      }),
    );
  });
});

describe('activeIngredientContent', () => {
  it('gives 250 ppm for 100 mL/100 kg of 250 g/L (D6, by hand)', () => {
    const content = activeIngredientContent(wheat.dose, wheat.content);
    expect(content * 1e6).toBeCloseTo(250, 10);
    expect(content * 100_000).toBeCloseTo(25, 10);
  });

  it('refuses a negative dose and a negative content', () => {
    expect(() => activeIngredientContent(millilitresPer100Kilograms(-1), wheat.content)).toThrow(
      new RangeError('FIGURE_INPUT activeIngredientContent.dose [mL/100kg]: got -1, expected >= 0'),
    );
    expect(() => activeIngredientContent(wheat.dose, gramsPerLitre(-1))).toThrow(
      new RangeError('FIGURE_INPUT activeIngredientContent.content [g/L]: got -1, expected >= 0'),
    );
  });
});
