import { expect } from 'vitest';
import { airOfHumidity } from '#server/calc/moisture/moist-air.ts';
import { celsius, pascals, ratio } from '#server/calc/units.ts';

export const SEA_LEVEL = pascals(101_325);

export function airAt(temperatureC: number, humidity: number) {
  return airOfHumidity({
    temperature: celsius(temperatureC),
    relativeHumidity: ratio(humidity),
    pressure: SEA_LEVEL,
  });
}

export function dryAirAt(temperatureC: number) {
  return { temperature: celsius(temperatureC), humidityRatio: ratio(0), pressure: SEA_LEVEL };
}

export function expectWithinRelative(value: number, expected: number, tolerance: number) {
  expect(Math.abs(value / expected - 1)).toBeLessThan(tolerance);
}
