import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaporationRate } from '#server/calc/moisture/evaporation-rate.ts';
import { latentHeat } from '#server/calc/moisture/latent-heat.ts';
import { celsius, kilogramsPerHour, ratio } from '#server/calc/units.ts';

const drying = { entering: ratio(0.008), leaving: ratio(0.014) };

describe('evaporationRate', () => {
  it('carries off 30 kg/h with 5000 kg/h dry air that gains 0.006 kg/kg, by hand', () => {
    expect(evaporationRate(kilogramsPerHour(5000), drying)).toBeCloseTo(30, 10);
  });

  it.each([
    [-1, drying, 'evaporationRate.dryAir [kg/h]: got -1, expected >= 0'],
    [1, { ...drying, entering: ratio(-1) }, 'evaporationRate.entering [kg/kg]: got -1, expected >= 0'],
    [1, { ...drying, leaving: ratio(-1) }, 'evaporationRate.leaving [kg/kg]: got -1, expected >= 0'],
  ])('refuses %d kg/h with %o and names it', (dryAir, ratios, message) => {
    const compute = () => evaporationRate(kilogramsPerHour(dryAir), ratios);
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('turns round when entering and leaving change places', () => {
    const humidity = fc.double({ min: 0, max: 0.05, noNaN: true });
    fc.assert(
      fc.property(humidity, humidity, (entering, leaving) => {
        const forth = evaporationRate(kilogramsPerHour(5000), {
          entering: ratio(entering),
          leaving: ratio(leaving),
        });
        const back = evaporationRate(kilogramsPerHour(5000), {
          entering: ratio(leaving),
          leaving: ratio(entering),
        });
        expect(forth + back).toBeCloseTo(0, 10);
      }),
    );
  });
});

describe('latentHeat', () => {
  it('is 2441.975 kJ/kg at 25 degC, by hand', () => {
    expect(latentHeat(celsius(25))).toBeCloseTo(2441.975, 9);
  });

  it('takes 0 and 100 degC, and refuses what lies outside', () => {
    expect(latentHeat(celsius(0))).toBe(2501);
    expect(latentHeat(celsius(100))).toBeCloseTo(2264.9, 10);
    for (const temperatureC of [-0.1, 100.1]) {
      expect(() => latentHeat(celsius(temperatureC))).toThrow(
        new RangeError(`FIGURE_INPUT latentHeat.temperature [degC]: got ${temperatureC}, expected 0 to 100`),
      );
    }
  });
});
