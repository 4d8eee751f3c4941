import psychrolib from 'psychrolib';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  enthalpyKjPerKg,
  humidityRatio,
  ratioAtWetBulb,
  relativeHumidity,
  saturationPressurePa,
  specificVolumeM3PerKg,
  STANDARD_PRESSURE_PA,
  temperatureOfEnthalpy,
  wetBulbC,
} from '#simulator/physics/psychrometrics.ts';

psychrolib.SetUnitSystem(psychrolib.SI);

/** ASHRAE Handbook - Fundamentals 2017, chapter 1, table 3 (handbook P1). */
const TABLE_3 = [
  [-20, 103.24],
  [-5, 401.74],
  [5, 872.6],
  [25, 3169.7],
  [50, 12_351.3],
  [100, 101_418],
  [150, 476_101.4],
] as const;

describe('psychrometrics', () => {
  it.each(TABLE_3)('saturates at %d °C at %d Pa (P1, ASHRAE table 3)', (celsius, pascal) => {
    expect(Math.abs(saturationPressurePa(celsius) / pascal - 1)).toBeLessThan(3e-4);
  });

  it('holds 0.0200 kg/kg at 25 °C saturated, within a hundredth (P3, ASHRAE table 2)', () => {
    expect(Math.abs(humidityRatio(25, 1) / 0.020173 - 1)).toBeLessThan(0.01);
  });

  it('has an enthalpy of 76.504 kJ/kg at 25 °C saturated, within a hundredth (P4)', () => {
    expect(Math.abs(enthalpyKjPerKg(25, humidityRatio(25, 1)) / 76.504 - 1)).toBeLessThan(0.01);
  });

  it('gives example 1 of ASHRAE chapter 1: 40 °C dry, 20 °C wet (P7)', () => {
    const ratio = ratioAtWetBulb(40, 20, STANDARD_PRESSURE_PA);
    expect(ratio).toBeCloseTo(0.0064008, 6);
    expect(relativeHumidity(40, ratio)).toBeCloseTo(0.1398, 3);
    expect(enthalpyKjPerKg(40, ratio)).toBeCloseTo(56.725, 2);
    expect(specificVolumeM3PerKg(40, ratio)).toBeCloseTo(0.8962, 3);
  });

  it('has a wet bulb of 17.889 °C at 25 °C and half saturated (P10), 22.103 °C at 43 °C and 15 % (P11)', () => {
    expect(wetBulbC(25, humidityRatio(25, 0.5))).toBeCloseTo(17.889, 2);
    expect(wetBulbC(43, humidityRatio(43, 0.15))).toBeCloseTo(22.103, 2);
  });

  it('has a wet bulb of -1.155 °C at 0 °C and 80 %, over ice (P13)', () => {
    expect(wetBulbC(0, humidityRatio(0, 0.8))).toBeCloseTo(-1.155, 1);
  });

  it('agrees with psychrolib over the whole range a dryer sees, wet bulb above freezing', () => {
    const celsius = fc.double({ min: 16, max: 80, noNaN: true });
    const humidity = fc.double({ min: 0.05, max: 0.95, noNaN: true });
    fc.assert(
      fc.property(celsius, humidity, (t, rh) => {
        const theirs = psychrolib.GetHumRatioFromRelHum(t, rh, STANDARD_PRESSURE_PA);
        expect(Math.abs(humidityRatio(t, rh) / theirs - 1)).toBeLessThan(1e-4);
        expect(wetBulbC(t, theirs)).toBeCloseTo(
          psychrolib.GetTWetBulbFromRelHum(t, rh, STANDARD_PRESSURE_PA),
          1,
        );
        expect(enthalpyKjPerKg(t, theirs) * 1000).toBeCloseTo(psychrolib.GetMoistAirEnthalpy(t, theirs), 2);
      }),
      { numRuns: 60 },
    );
  });

  it('finds the temperature of an enthalpy again', () => {
    expect(temperatureOfEnthalpy(enthalpyKjPerKg(31.5, 0.0123), 0.0123)).toBeCloseTo(31.5, 10);
  });
});
