import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { airDensityRatio } from '#server/calc/condition/air-density-ratio.ts';
import { fanLaws } from '#server/calc/condition/fan-laws.ts';
import { celsius, pascals, ratio } from '#server/calc/units.ts';

const sameAir = { density: ratio(1) };

describe('fanLaws', () => {
  it('give 10 % more flow, 21 % more pressure and 33.1 % more power for 10 % more speed (C7, by hand)', () => {
    const { flow, pressure, power } = fanLaws({ ...sameAir, speed: ratio(1.1) });
    expect(flow).toBeCloseTo(1.1, 12);
    expect(pressure).toBeCloseTo(1.21, 12);
    expect(power).toBeCloseTo(1.331, 12);
  });

  it('need 12.77789 bhp for 20000 cfm where 15800 cfm took 6.3 (C5, example of a user guide)', () => {
    expect(6.3 * fanLaws({ ...sameAir, speed: ratio(20_000 / 15_800) }).power).toBeCloseTo(12.777_89, 4);
  });

  it('reach 18430.77 cfm with 10 bhp (C6, same guide)', () => {
    const { flow, power } = fanLaws({ ...sameAir, speed: ratio(Math.cbrt(10 / 6.3)) });
    expect(6.3 * power).toBeCloseTo(10, 10);
    expect(Math.abs(15_800 * flow - 18_430.77)).toBeLessThan(0.01);
  });

  it('move as much of thin air, with less pressure and power', () => {
    const thin = fanLaws({ speed: ratio(1), density: ratio(0.9) });
    expect(thin).toEqual({ flow: 1, pressure: 0.9, power: 0.9 });
  });

  it('refuse a negative speed and a density that is not positive', () => {
    expect(() => fanLaws({ ...sameAir, speed: ratio(-1) })).toThrow(
      new RangeError('FIGURE_INPUT fanLaws.speed [1]: got -1, expected >= 0'),
    );
    expect(() => fanLaws({ speed: ratio(1), density: ratio(0) })).toThrow(
      new RangeError('FIGURE_INPUT fanLaws.density [1]: got 0, expected > 0'),
    );
  });

  it('make power the product of flow and pressure', () => {
    const part = fc.double({ min: 0.1, max: 2, noNaN: true });
    fc.assert(
      fc.property(part, part, (speed, density) => {
        const { flow, pressure, power } = fanLaws({ speed: ratio(speed), density: ratio(density) });
        expect(power).toBeCloseTo(flow * pressure, 10);
      }),
    );
  });
});

describe('airDensityRatio', () => {
  it('is 0.93613 at 40 degC, by hand', () => {
    expect(airDensityRatio(celsius(40), pascals(101_325))).toBeCloseTo(0.936_13, 5);
  });

  it('is 1 in standard air', () => {
    expect(airDensityRatio(celsius(20), pascals(101_325))).toBeCloseTo(1, 12);
  });

  it('refuses a temperature beyond reason and a pressure that is not positive', () => {
    expect(() => airDensityRatio(celsius(201), pascals(1))).toThrow(
      new RangeError('FIGURE_INPUT airDensityRatio.temperature [degC]: got 201, expected -100 to 200'),
    );
    expect(() => airDensityRatio(celsius(20), pascals(0))).toThrow(
      new RangeError('FIGURE_INPUT airDensityRatio.pressure [Pa]: got 0, expected > 0'),
    );
  });

  it('doubles with the pressure', () => {
    fc.assert(
      fc.property(fc.double({ min: -30, max: 60, noNaN: true }), (temperatureC) => {
        const single = airDensityRatio(celsius(temperatureC), pascals(50_000));
        expect(airDensityRatio(celsius(temperatureC), pascals(100_000))).toBeCloseTo(2 * single, 12);
      }),
    );
  });
});
