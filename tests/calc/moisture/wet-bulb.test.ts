import fc from 'fast-check';
import psychrolib from 'psychrolib';
import { beforeAll, describe, expect, it } from 'vitest';
import { airEnthalpy } from '#server/calc/moisture/air-enthalpy.ts';
import { airVolume } from '#server/calc/moisture/air-volume.ts';
import { dewPoint } from '#server/calc/moisture/dew-point.ts';
import { relativeHumidity } from '#server/calc/moisture/moist-air.ts';
import { humidityRatioFromWetBulb, wetBulbTemperature } from '#server/calc/moisture/wet-bulb.ts';
import { celsius, pascals, ratio } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';
import { airAt, dryAirAt, expectWithinRelative, SEA_LEVEL } from './air-at.ts';

const inconsistent = { known: false, because: 'inputs-inconsistent' };

function wetBulbReading(dryC: number, wetC: number, pressure = SEA_LEVEL) {
  return { temperature: celsius(dryC), wetBulb: celsius(wetC), pressure };
}

beforeAll(() => {
  psychrolib.SetUnitSystem(psychrolib.SI);
});

describe('humidityRatioFromWetBulb', () => {
  it('gives 0.0065 kg/kg, dew point 7 degC, 14 %, 56.7 kJ/kg and 0.896 m3/kg for 40 and 20 degC (P7, ASHRAE ex. 1)', () => {
    const humidityRatio = valueOf(humidityRatioFromWetBulb(wetBulbReading(40, 20)));
    const air = { temperature: celsius(40), humidityRatio, pressure: SEA_LEVEL };
    expect(Math.abs(humidityRatio - 0.0065)).toBeLessThan(0.0001);
    expect(humidityRatio).toBeCloseTo(0.006_400_8, 6);
    expect(valueOf(dewPoint(air))).toBeCloseTo(7.434, 2);
    expect(relativeHumidity(air)).toBeCloseTo(0.1398, 4);
    expect(airEnthalpy(air)).toBeCloseTo(56.725, 2);
    expect(airVolume(air)).toBeCloseTo(0.8962, 4);
  });

  it('gives 0.00523, dew point 40 degF, 13 %, 29.80 Btu/lb and 14.22 ft3/lb for 100 and 65 degF (P8, ASHRAE IP ex. 1)', () => {
    const pressure = pascals(14.696 * 6894.757_293);
    const dry = (100 - 32) / 1.8;
    const humidityRatio = valueOf(humidityRatioFromWetBulb(wetBulbReading(dry, (65 - 32) / 1.8, pressure)));
    const air = { temperature: celsius(dry), humidityRatio, pressure };
    expect(Math.abs(humidityRatio - 0.005_23)).toBeLessThan(0.001);
    expect(Math.abs(valueOf(dewPoint(air)) * 1.8 + 32 - 40)).toBeLessThan(1);
    expect(Math.abs(relativeHumidity(air) - 0.13)).toBeLessThan(0.01);
    // IP counts heat from 0 degF dry air, SI from 0 degC: 0.240 Btu/lb degF over 32 degF lie between.
    expect(Math.abs(airEnthalpy(air) / 2.326 + 0.24 * 32 - 29.8)).toBeLessThan(0.1);
    expectWithinRelative(airVolume(air) * 16.018_463, 14.22, 0.01);
  });

  it('is unknown when the wet bulb is the warmer one, or impossibly cold', () => {
    expect(humidityRatioFromWetBulb(wetBulbReading(20, 20.1))).toEqual(inconsistent);
    expect(humidityRatioFromWetBulb(wetBulbReading(40, 5))).toEqual(inconsistent);
  });

  it('is that of saturated air when both show the same', () => {
    const saturated = airAt(20, 1).humidityRatio;
    expect(valueOf(humidityRatioFromWetBulb(wetBulbReading(20, 20)))).toBeCloseTo(saturated, 12);
  });

  it('agrees with psychrolib', () => {
    const depression = fc.double({ min: 0, max: 5, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: 20, max: 60, noNaN: true }), depression, (dry, less) => {
        const oracle = psychrolib.GetHumRatioFromTWetBulb(dry, dry - less, 101_325);
        expect(valueOf(humidityRatioFromWetBulb(wetBulbReading(dry, dry - less)))).toBeCloseTo(oracle, 6);
      }),
    );
  });
});

describe('wetBulbTemperature', () => {
  it('is 17.889 degC at 25 degC and 50 %, and 22.103 degC at 43 degC and 15 % (P10, P11)', () => {
    expect(wetBulbTemperature(airAt(25, 0.5))).toBeCloseTo(17.889, 2);
    expect(wetBulbTemperature(airAt(43, 0.15))).toBeCloseTo(22.103, 2);
  });

  it('is -1.155 degC at 0 degC and 80 %, and -5.884 degC at -5 degC and 80 % (P13)', () => {
    expect(Math.abs(wetBulbTemperature(airAt(0, 0.8)) + 1.155)).toBeLessThan(0.01);
    expect(Math.abs(wetBulbTemperature(airAt(-5, 0.8)) + 5.884)).toBeLessThan(0.01);
  });

  it('refuses a negative humidity ratio', () => {
    expect(() => wetBulbTemperature({ ...dryAirAt(25), humidityRatio: ratio(-0.001) })).toThrow(
      new RangeError('FIGURE_INPUT wetBulbTemperature.humidityRatio [kg/kg]: got -0.001, expected >= 0'),
    );
  });

  it('agrees with psychrolib, but within 1 degC of freezing, where both ice and water on the wick fit', () => {
    const humidity = fc.double({ min: 0.05, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: 5, max: 60, noNaN: true }), humidity, (temperatureC, part) => {
        const oracle = psychrolib.GetTWetBulbFromRelHum(temperatureC, part, 101_325);
        fc.pre(Math.abs(oracle) > 1);
        expect(Math.abs(wetBulbTemperature(airAt(temperatureC, part)) - oracle)).toBeLessThan(0.01);
      }),
      { numRuns: 40 },
    );
  });

  it('is the wet bulb from which the humidity of the air follows, on both sides of freezing', () => {
    const humidity = fc.double({ min: 0.05, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: -20, max: 60, noNaN: true }), humidity, (temperatureC, part) => {
        const air = airAt(temperatureC, part);
        const reading = wetBulbReading(temperatureC, wetBulbTemperature(air));
        expect(valueOf(humidityRatioFromWetBulb(reading))).toBeCloseTo(air.humidityRatio, 9);
      }),
      { numRuns: 40 },
    );
  });
});

describe('dewPoint', () => {
  it('is 13.864 degC at 25 degC and 50 %, and 10.823 degC at 43 degC and 15 % (P10, P11)', () => {
    expect(valueOf(dewPoint(airAt(25, 0.5)))).toBeCloseTo(13.864, 2);
    expect(valueOf(dewPoint(airAt(43, 0.15)))).toBeCloseTo(10.823, 2);
  });

  it('is -2.683 degC at 0 degC and 80 %, and -7.585 degC at -5 degC and 80 % (P13)', () => {
    expect(Math.abs(valueOf(dewPoint(airAt(0, 0.8))) + 2.683)).toBeLessThan(0.01);
    expect(Math.abs(valueOf(dewPoint(airAt(-5, 0.8))) + 7.585)).toBeLessThan(0.01);
  });

  it('is the temperature of the air when it is saturated', () => {
    expect(valueOf(dewPoint(airAt(15, 1)))).toBeCloseTo(15, 6);
  });

  it('is unknown in dry air, and in air that holds more than it can', () => {
    expect(dewPoint(dryAirAt(20))).toEqual(inconsistent);
    expect(dewPoint({ ...dryAirAt(20), humidityRatio: ratio(0.05) })).toEqual(inconsistent);
  });

  it('agrees with psychrolib', () => {
    const humidity = fc.double({ min: 0.05, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: 5, max: 60, noNaN: true }), humidity, (temperatureC, part) => {
        const oracle = psychrolib.GetTDewPointFromRelHum(temperatureC, part);
        expect(Math.abs(valueOf(dewPoint(airAt(temperatureC, part))) - oracle)).toBeLessThan(0.01);
      }),
      { numRuns: 40 },
    );
  });
});
