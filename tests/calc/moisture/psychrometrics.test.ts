import fc from 'fast-check';
import psychrolib from 'psychrolib';
import { beforeAll, describe, expect, it } from 'vitest';
import { airEnthalpy } from '#server/calc/moisture/air-enthalpy.ts';
import { airVolume } from '#server/calc/moisture/air-volume.ts';
import { airOfHumidity, relativeHumidity } from '#server/calc/moisture/moist-air.ts';
import { saturationPressure } from '#server/calc/moisture/saturation-pressure.ts';
import { standardPressure } from '#server/calc/moisture/standard-pressure.ts';
import { celsius, metres, pascals, ratio } from '#server/calc/units.ts';
import { airAt, dryAirAt, expectWithinRelative } from './air-at.ts';

beforeAll(() => {
  psychrolib.SetUnitSystem(psychrolib.SI);
});

describe('saturationPressure', () => {
  // ASHRAE Handbook - Fundamentals (2017), ch. 1, table 3.
  it.each([
    [-20, 103.24],
    [-5, 401.74],
    [5, 872.6],
    [25, 3169.7],
    [50, 12_351.3],
    [100, 101_418],
    [150, 476_101.4],
  ])('at %d degC is %d Pa (P1)', (temperatureC, pressure) => {
    expectWithinRelative(saturationPressure(celsius(temperatureC)), pressure, 3e-4);
  });

  it.each([
    [77, 0.459_73],
    [122, 1.7914],
    [212, 14.7094],
  ])('at %d degF is %d psia (P2, same table)', (fahrenheit, psia) => {
    const pascal = saturationPressure(celsius((fahrenheit - 32) / 1.8));
    expectWithinRelative(pascal / 6894.757_293, psia, 3e-4);
  });

  it('takes -100 and 200 degC, and refuses what lies outside', () => {
    expect(saturationPressure(celsius(-100))).toBeGreaterThan(0);
    expect(saturationPressure(celsius(200))).toBeGreaterThan(1e6);
    for (const temperatureC of [-100.1, 200.1]) {
      expect(() => saturationPressure(celsius(temperatureC))).toThrow(
        new RangeError(
          `FIGURE_INPUT saturationPressure.temperature [degC]: got ${temperatureC}, expected -100 to 200`,
        ),
      );
    }
  });

  it('agrees with psychrolib, over ice and over water', () => {
    fc.assert(
      fc.property(fc.double({ min: -90, max: 190, noNaN: true }), (temperatureC) => {
        expectWithinRelative(
          saturationPressure(celsius(temperatureC)),
          psychrolib.GetSatVapPres(temperatureC),
          1e-9,
        );
      }),
    );
  });
});

describe('standardPressure', () => {
  // ASHRAE Handbook - Fundamentals (2017), ch. 1, table 1.
  it.each([
    [-500, 107_478],
    [0, 101_325],
    [500, 95_461],
    [1000, 89_875],
    [4000, 61_640],
    [10_000, 26_436],
  ])('at %d m is %d Pa (P6)', (altitude, pressure) => {
    expect(Math.abs(standardPressure(metres(altitude)) - pressure)).toBeLessThanOrEqual(1);
  });

  it('refuses an altitude that no plant has', () => {
    expect(() => standardPressure(metres(11_001))).toThrow(
      new RangeError('FIGURE_INPUT standardPressure.altitude [m]: got 11001, expected -5000 to 11000'),
    );
  });

  it('agrees with psychrolib', () => {
    fc.assert(
      fc.property(fc.double({ min: -500, max: 5000, noNaN: true }), (altitude) => {
        expectWithinRelative(
          standardPressure(metres(altitude)),
          psychrolib.GetStandardAtmPressure(altitude),
          1e-9,
        );
      }),
    );
  });
});

describe('airOfHumidity', () => {
  it('holds 0.009881 kg/kg at 25 degC and 50 % (P10)', () => {
    expect(airAt(25, 0.5).humidityRatio).toBeCloseTo(0.009_881, 6);
  });

  it('holds 0.008067 kg/kg at 43 degC and 15 %, a dryer plenum (P11)', () => {
    expect(airAt(43, 0.15).humidityRatio).toBeCloseTo(0.008_067, 6);
  });

  // ASHRAE table 2; its values allow for real gas, hence the per cent.
  it.each([
    [-5, 0.002_486_3],
    [5, 0.005_425],
    [25, 0.020_173],
    [50, 0.086_863],
  ])('holds, saturated at %d degC, %d kg/kg (P3)', (temperatureC, humidityRatio) => {
    expectWithinRelative(airAt(temperatureC, 1).humidityRatio, humidityRatio, 0.01);
  });

  it.each([
    [25, -0.01, 101_325, 'airOfHumidity.relativeHumidity [1]: got -0.01, expected 0 to 1'],
    [25, 1.01, 101_325, 'airOfHumidity.relativeHumidity [1]: got 1.01, expected 0 to 1'],
    [201, 0.5, 101_325, 'saturationPressure.temperature [degC]: got 201, expected -100 to 200'],
    [25, 0, 0, 'airOfHumidity.pressure less vapour pressure [Pa]: got 0, expected > 0'],
  ] as const)('refuses %d degC, %d, %d Pa', (...[temperatureC, humidity, pressure, message]) => {
    const reading = {
      temperature: celsius(temperatureC),
      relativeHumidity: ratio(humidity),
      pressure: pascals(pressure),
    };
    expect(() => airOfHumidity(reading)).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('agrees with psychrolib, and gives the humidity back', () => {
    const humidity = fc.double({ min: 0.01, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: -20, max: 80, noNaN: true }), humidity, (temperatureC, part) => {
        const air = airAt(temperatureC, part);
        const oracle = psychrolib.GetHumRatioFromRelHum(temperatureC, part, 101_325);
        expect(air.humidityRatio).toBeCloseTo(oracle, 6);
        expect(relativeHumidity(air)).toBeCloseTo(part, 9);
      }),
    );
  });
});

describe('relativeHumidity', () => {
  it('is 50 % of 0.009881 kg/kg at 25 degC (P10)', () => {
    expect(relativeHumidity({ ...dryAirAt(25), humidityRatio: ratio(0.009_881) })).toBeCloseTo(0.5, 3);
  });

  it('refuses a negative humidity ratio', () => {
    expect(() => relativeHumidity({ ...dryAirAt(25), humidityRatio: ratio(-0.001) })).toThrow(
      new RangeError('FIGURE_INPUT vapourPressure.humidityRatio [kg/kg]: got -0.001, expected >= 0'),
    );
  });
});

describe('airEnthalpy and airVolume', () => {
  it('are 25.148 kJ/kg and 0.8443 m3/kg for dry air at 25 degC (P5, ASHRAE table 2)', () => {
    expectWithinRelative(airEnthalpy(dryAirAt(25)), 25.148, 1e-3);
    expectWithinRelative(airVolume(dryAirAt(25)), 0.8443, 1e-3);
  });

  it.each([
    [5, 18.639],
    [25, 76.504],
    [50, 275.353],
  ])('hold, saturated at %d degC, %d kJ/kg (P4, ASHRAE table 2)', (temperatureC, enthalpy) => {
    expectWithinRelative(airEnthalpy(airAt(temperatureC, 1)), enthalpy, 0.01);
  });

  it('are 50.322 kJ/kg and 0.85804 m3/kg, 64.078 and 0.90723 (P10, P11)', () => {
    expect(airEnthalpy(airAt(25, 0.5))).toBeCloseTo(50.322, 2);
    expect(airVolume(airAt(25, 0.5))).toBeCloseTo(0.858_04, 4);
    expect(airEnthalpy(airAt(43, 0.15))).toBeCloseTo(64.078, 2);
    expect(airVolume(airAt(43, 0.15))).toBeCloseTo(0.907_23, 4);
  });

  it('refuse a pressure that is not positive', () => {
    expect(() => airVolume({ ...dryAirAt(25), pressure: pascals(0) })).toThrow(
      new RangeError('FIGURE_INPUT airVolume.pressure [Pa]: got 0, expected > 0'),
    );
  });

  it('agree with psychrolib', () => {
    const temperature = fc.double({ min: -20, max: 80, noNaN: true });
    fc.assert(
      fc.property(
        temperature,
        fc.double({ min: 0.001, max: 0.05, noNaN: true }),
        (temperatureC, humidityRatio) => {
          const air = { ...dryAirAt(temperatureC), humidityRatio: ratio(humidityRatio) };
          const enthalpy = psychrolib.GetMoistAirEnthalpy(temperatureC, humidityRatio) / 1000;
          expect(airEnthalpy(air)).toBeCloseTo(enthalpy, 8);
          expect(airVolume(air)).toBeCloseTo(
            psychrolib.GetMoistAirVolume(temperatureC, humidityRatio, 101_325),
            6,
          );
        },
      ),
    );
  });
});
