import fc from 'fast-check';
import Qty from 'js-quantities';
import { describe, expect, it } from 'vitest';
import { convertDose, type DoseUnit } from '#server/calc/dose/convert-dose.ts';
import { gramsPerThousandSeeds, kilogramsPerBushel } from '#server/calc/units.ts';

const UNITS: readonly DoseUnit[] = [
  'mL/100kg',
  'fl oz/cwt',
  'mL/bu',
  'fl oz/bu',
  'mL/unit',
  'fl oz/unit',
  'uL/seed',
];
const soybean = {
  bushelMass: kilogramsPerBushel(27.215_542_2),
  thousandSeedMass: gramsPerThousandSeeds(174.5),
  seedsPerUnit: 140_000,
};

describe('convertDose', () => {
  it('makes 2.4 fl oz/bu of 4 fl oz/cwt on seed of 60 lb a bushel (U3, worked number of a treating guide)', () => {
    expect(convertDose(4, { from: 'fl oz/cwt', to: 'fl oz/bu' }, soybean)).toBeCloseTo(2.4, 12);
  });

  it('makes 65.198472281 mL/100 kg of 1 fl oz/cwt, against js-quantities', () => {
    const oracle = Qty('1 floz').to('ml').scalar / Qty('100 lb').to('kg').scalar;
    const ours = convertDose(1, { from: 'fl oz/cwt', to: 'mL/100kg' }, soybean);
    expect(ours).toBeCloseTo(100 * oracle, 4);
    expect(ours).toBeCloseTo(65.198_472_281, 9);
  });

  it('makes 1.69 fl oz in 220 lb of 50 mL/100 kg (D3, trade article)', () => {
    expect(convertDose(50, { from: 'mL/100kg', to: 'fl oz/cwt' }, soybean) * 2.2).toBeCloseTo(1.69, 2);
  });

  it('makes 100 mL a unit of 1000 seeds into 100 uL a seed, by hand', () => {
    const small = { ...soybean, seedsPerUnit: 1000 };
    expect(convertDose(100, { from: 'mL/unit', to: 'uL/seed' }, small)).toBeCloseTo(100, 10);
  });

  it('needs 27.2 kg of seed, not 35.2 L of it, for a bushel: two bushels of one crop can differ', () => {
    const light = { ...soybean, bushelMass: kilogramsPerBushel(14.514_955_84) };
    expect(convertDose(100, { from: 'mL/100kg', to: 'mL/bu' }, light)).toBeCloseTo(14.514_955_84, 10);
    expect(convertDose(100, { from: 'mL/100kg', to: 'mL/bu' }, soybean)).toBeCloseTo(27.215_542_2, 10);
  });

  it.each([
    [-1, {}, 'convertDose.dose [fl oz/bu]: got -1, expected >= 0'],
    [1, { bushelMass: kilogramsPerBushel(0) }, 'convertDose.bushelMass [kg/bu]: got 0, expected > 0'],
    [
      1,
      { thousandSeedMass: gramsPerThousandSeeds(-5) },
      'convertDose.thousandSeedMass [g/1000 seeds]: got -5, expected > 0',
    ],
    [1, { seedsPerUnit: 0 }, 'convertDose.seedsPerUnit [1]: got 0, expected > 0'],
  ])('refuses %d with %o and names it', (dose, wrong, message) => {
    const convert = () => convertDose(dose, { from: 'fl oz/bu', to: 'mL/100kg' }, { ...soybean, ...wrong });
    expect(convert).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('comes back to where it began from every unit through every other', () => {
    const unit = fc.constantFrom(...UNITS);
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 5000, noNaN: true }), unit, unit, (dose, from, to) => {
        const there = convertDose(dose, { from, to }, soybean);
        expect(convertDose(there, { from: to, to: from }, soybean) / dose).toBeCloseTo(1, 12);
      }),
    );
  });
});
