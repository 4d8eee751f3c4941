import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { equilibriumMoisture, type MoistureConstants } from '#server/calc/moisture/equilibrium-moisture.ts';
import { celsius, ratio } from '#server/calc/units.ts';

const percent = { inPercent: true };
/** Storage of Cereal Grains and Their Products, 5th ed., p. 272, after ASABE D245.5; corn and soybean from memory. */
const WHEAT_NEW = {
  ...percent,
  name: 'wheat, D245.5',
  model: 'chung-pfost',
  a: 610.34,
  b: 0.155_26,
  c: 93.213,
} as const;
const CORN_NEW = {
  ...percent,
  name: 'corn, D245.5',
  model: 'chung-pfost',
  a: 374.34,
  b: 0.186_62,
  c: 31.696,
} as const;
const SOYBEAN = {
  ...percent,
  name: 'soybean, D245.5',
  model: 'modified-halsey',
  a: 2.87,
  b: -0.0054,
  c: 1.38,
} as const;
const HARD_WHEAT = {
  ...percent,
  name: 'hard wheat, D245.5',
  model: 'modified-henderson',
  k: 4.3295e-5,
  n: 2.1119,
  c: 41.565,
} as const;
const HARD_WHEAT_OSWIN = {
  ...percent,
  name: 'hard wheat, D245.5, Oswin',
  model: 'modified-oswin',
  a: 15.868,
  b: -0.103_78,
  c: 3.0836,
} as const;
/** ASABE D245.4. */
const CORN_OLD_HENDERSON = {
  ...percent,
  name: 'corn, D245.4, Henderson',
  model: 'modified-henderson',
  k: 8.6541e-5,
  n: 1.8634,
  c: 49.81,
} as const;
const CORN_OLD = {
  name: 'corn, D245.4',
  inPercent: false,
  model: 'chung-pfost',
  a: 312.4,
  b: 16.958,
  c: 30.205,
} as const;

function percentAt(temperatureC: number, humidity: number, constants: MoistureConstants) {
  const air = { temperature: celsius(temperatureC), relativeHumidity: ratio(humidity) };
  return (equilibriumMoisture(air, constants).moisture ?? NaN) * 100;
}

const at60F = (60 - 32) / 1.8;
const at70F = (70 - 32) / 1.8;

describe('equilibriumMoisture', () => {
  it('gives 14.685 % for wheat at 25 degC and 70 % (M8, by hand from the printed constants)', () => {
    expect(Math.abs(percentAt(25, 0.7, WHEAT_NEW) - 14.685)).toBeLessThan(0.01);
  });

  it('gives 14.84 and 14.87 % for hard wheat with two other equations (M8)', () => {
    expect(Math.abs(percentAt(25, 0.7, HARD_WHEAT) - 14.84)).toBeLessThan(0.01);
    expect(Math.abs(percentAt(25, 0.7, HARD_WHEAT_OSWIN) - 14.87)).toBeLessThan(0.01);
  });

  it('gives 16.06 % for corn at 60 degF and 80 %; an extension table prints 16.1 (M4)', () => {
    expect(Math.abs(percentAt(at60F, 0.8, CORN_NEW) - 16.06)).toBeLessThan(0.05);
  });

  it('gives 18.25 % for soybean at 60 degF and 80 %; the table prints 18.3 (M5)', () => {
    expect(Math.abs(percentAt(at60F, 0.8, SOYBEAN) - 18.25)).toBeLessThan(0.05);
  });

  it('gives another moisture with each published set, so it names the set: corn, 70 degF, 50 % (M7)', () => {
    expect(Math.abs(percentAt(at70F, 0.5, CORN_OLD_HENDERSON) - 11.22)).toBeLessThan(0.05);
    expect(Math.abs(percentAt(at70F, 0.5, CORN_OLD) - 11.36)).toBeLessThan(0.05);
    expect(Math.abs(percentAt(at70F, 0.5, CORN_NEW) - 11.08)).toBeLessThan(0.05);
    const air = { temperature: celsius(at70F), relativeHumidity: ratio(0.5) };
    expect(equilibriumMoisture(air, CORN_OLD).set).toBe('corn, D245.4');
  });

  it.each([
    [4.99, 0.5],
    [50.01, 0.5],
    [25, 0.099],
    [25, 0.951],
  ])('is null at %d degC and %d, where nobody measured', (temperatureC, humidity) => {
    const air = { temperature: celsius(temperatureC), relativeHumidity: ratio(humidity) };
    expect(equilibriumMoisture(air, WHEAT_NEW).moisture).toBeNull();
  });

  it.each([
    [5, 0.1],
    [50, 0.95],
  ])('is known at exactly %d degC and %d', (temperatureC, humidity) => {
    const air = { temperature: celsius(temperatureC), relativeHumidity: ratio(humidity) };
    expect(equilibriumMoisture(air, WHEAT_NEW).moisture).toBeGreaterThan(0);
  });

  it('is null, not negative, where the constants give no moisture', () => {
    const air = { temperature: celsius(50), relativeHumidity: ratio(0.1) };
    const absurd = { ...WHEAT_NEW, a: 10 };
    expect(equilibriumMoisture(air, absurd).moisture).toBeNull();
  });

  it.each([
    [{ ...WHEAT_NEW, a: 0 }, 'a [1]: got 0, expected > 0'],
    [{ ...WHEAT_NEW, b: -1 }, 'b [1]: got -1, expected > 0'],
    [{ ...HARD_WHEAT, k: 0 }, 'k [1]: got 0, expected > 0'],
    [{ ...HARD_WHEAT, n: 0 }, 'n [1]: got 0, expected > 0'],
    [{ ...SOYBEAN, c: 0 }, 'c [1]: got 0, expected > 0'],
    [{ ...HARD_WHEAT_OSWIN, c: 0 }, 'c [1]: got 0, expected > 0'],
  ])('refuses the constants %o', (constants, message) => {
    expect(() => percentAt(25, 0.7, constants)).toThrow(
      new RangeError(`FIGURE_INPUT equilibriumMoisture.constants.${message}`),
    );
  });

  it('rises with humidity and falls with temperature, in every set', () => {
    const sets = [WHEAT_NEW, CORN_NEW, SOYBEAN, HARD_WHEAT, HARD_WHEAT_OSWIN, CORN_OLD, CORN_OLD_HENDERSON];
    const temperature = fc.double({ min: 5, max: 45, noNaN: true });
    fc.assert(
      fc.property(
        fc.constantFrom(...sets),
        temperature,
        fc.double({ min: 0.2, max: 0.9, noNaN: true }),
        (set, t, rh) => {
          expect(percentAt(t, rh + 0.04, set)).toBeGreaterThan(percentAt(t, rh, set));
          expect(percentAt(t + 5, rh, set)).toBeLessThan(percentAt(t, rh, set));
        },
      ),
    );
  });
});
