import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convertDose } from '#server/calc/dose/convert-dose.ts';
import { doseOverWindow } from '#server/calc/dose/dose-over-window.ts';
import { pumpFlowForDose } from '#server/calc/dose/pump-flow-for-dose.ts';
import {
  gramsPerThousandSeeds,
  KG_PER_LB,
  kilograms,
  kilogramsPerBushel,
  kilogramsPerHour,
  millilitres,
  millilitresPer100Kilograms,
} from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

describe('pumpFlowForDose', () => {
  it('takes 400 mL/min for 200 mL/100 kg at 12 t/h (D2, by hand)', () => {
    expect(pumpFlowForDose(millilitresPer100Kilograms(200), kilogramsPerHour(12_000))).toBeCloseTo(400, 10);
  });

  it('takes 408.114708 mL/min for 4.6 fl oz/cwt at 300 lb/min (D1, 13.8 fl oz/min by hand)', () => {
    const anySeed = {
      bushelMass: kilogramsPerBushel(27.2),
      thousandSeedMass: gramsPerThousandSeeds(170),
      seedsPerUnit: 1,
    };
    const dose = millilitresPer100Kilograms(convertDose(4.6, { from: 'fl oz/cwt', to: 'mL/100kg' }, anySeed));
    expect(pumpFlowForDose(dose, kilogramsPerHour(300 * 60 * KG_PER_LB))).toBeCloseTo(408.114_708, 6);
  });

  it('asks for no liquid when there is no seed', () => {
    expect(pumpFlowForDose(millilitresPer100Kilograms(200), kilogramsPerHour(0))).toBe(0);
  });

  it('refuses a negative dose and a negative seed flow', () => {
    expect(() => pumpFlowForDose(millilitresPer100Kilograms(-1), kilogramsPerHour(1))).toThrow(
      new RangeError('FIGURE_INPUT pumpFlowForDose.dose [mL/100kg]: got -1, expected >= 0'),
    );
    expect(() => pumpFlowForDose(millilitresPer100Kilograms(1), kilogramsPerHour(-1))).toThrow(
      new RangeError('FIGURE_INPUT pumpFlowForDose.seedRate [kg/h]: got -1, expected >= 0'),
    );
  });

  it('gives just the dose that was wanted when it runs for an hour', () => {
    const positive = fc.double({ min: 1, max: 5000, noNaN: true });
    fc.assert(
      fc.property(positive, positive, (dose, seedRate) => {
        const flow = pumpFlowForDose(millilitresPer100Kilograms(dose), kilogramsPerHour(seedRate));
        const hour = { liquid: millilitres(flow * 60), seed: kilograms(seedRate), seedFloor: kilograms(1) };
        expect(valueOf(doseOverWindow(hour)) / dose).toBeCloseTo(1, 12);
      }),
    );
  });
});
