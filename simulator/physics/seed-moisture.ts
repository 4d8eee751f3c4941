import type { CropName } from './crops/crop.ts';

/**
 * The moisture at which seed neither takes water from the air nor gives any, kg water per kg wet.
 *
 *     Chung-Pfost      M = -(1/B) ln(-(T + C) ln RH / A)              % dry basis
 *     modified Halsey  M = (-exp(A + B T) / ln RH)^(1/C)              % dry basis
 *
 * Units    °C, ratio -> ratio (wet basis); relative humidity is held within 0.1 to 0.95, where the models are valid
 * Source   ASABE D245.5/.6 as reprinted in Storage of Cereal Grains and Their Products, 5th ed., p. 272 (handbook 4.2,
 *          set "new"); checks M4 (corn), M5 (soybean), M8 (wheat)
 *
 * @example corn at 60 °F and 80 % gives 16.06 % wet basis
 */
export function equilibriumMoisture(crop: CropName, celsius: number, relativeHumidity: number): number {
  const logRh = Math.log(Math.min(0.95, Math.max(0.1, relativeHumidity)));
  const dryBasis =
    crop === 'soybean'
      ? (-Math.exp(2.87 - 0.0054 * celsius) / logRh) ** (1 / 1.38)
      : chungPfost(crop === 'corn' ? CORN : WHEAT, celsius, logRh);
  return dryBasis / (100 + dryBasis);
}

interface ChungPfost {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

const CORN: ChungPfost = { a: 374.34, b: 0.18662, c: 31.696 };
const WHEAT: ChungPfost = { a: 610.34, b: 0.15526, c: 93.213 };

function chungPfost({ a, b, c }: ChungPfost, celsius: number, logRh: number): number {
  return -Math.log((-(celsius + c) * logRh) / a) / b;
}

/**
 * The mass lost when seed dries from one moisture to another, kg.
 *
 *     shrink = mass (from - to) / (1 - to)
 *
 * Source   dry matter stays (handbook 4.1); check M1: 1000 lb soybeans from 16 to 11 % lose 56.18 lb
 */
export function shrinkKg(massKg: number, from: number, to: number): number {
  return (massKg * (from - to)) / (1 - to);
}

/**
 * The share of living seed that heat kills in a second.
 *
 *     k = k60 2^((T - 60) / 3),   k60 = ln(95/30) / 3600 s
 *
 * Source   rice at 60 °C for an hour falls from 95 to 30 % (handbook 4.4, an Indian rice portal after IRRI); that it
 *          doubles every 3 °C is from memory, low
 */
export function heatDeathPerS(seedC: number): number {
  return (Math.log(95 / 30) / 3600) * 2 ** ((seedC - 60) / 3);
}
