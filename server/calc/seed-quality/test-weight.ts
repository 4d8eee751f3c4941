import { expectFinite } from '../expect-finite.ts';
import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import {
  KG_PER_LB,
  kilogramsPerHectolitre,
  L_PER_US_BUSHEL,
  type KilogramsPerHectolitre,
  type PoundsPerBushel,
} from '../units.ts';

/** How a buyer turns lb/bu into kg/hL. For wheat the trade uses regressions, not the plain change of unit. */
export interface TestWeightConvention {
  readonly slope: number;
  readonly interceptKgPerHl: number;
}

/** Volume against volume: 1 lb in a struck bushel is 1.287186 kg in a hectolitre. */
export const PLAIN_UNITS: TestWeightConvention = {
  slope: (KG_PER_LB / L_PER_US_BUSHEL) * 100,
  interceptKgPerHl: 0,
};

/**
 * The test weight of seed, from pounds a bushel to kilograms a hectolitre.
 *
 *     kg/hL = slope * lb/bu + intercept
 *
 * Shape    one test weight and a convention in, one test weight out. The bushel here is the volume, never a legal mass.
 * Units    lb/bu -> kg/hL
 * Unknown  none
 * Throws   RangeError when the test weight is negative, the slope not positive or the intercept not finite.
 * Source   NIST Handbook 44, Appendix C (plain units); other conventions are configuration, with their own source.
 *
 * @example 60 lb/bu in plain units are 77.231 kg/hL
 */
export function testWeight(
  weight: PoundsPerBushel,
  convention: TestWeightConvention,
): KilogramsPerHectolitre {
  expectNotNegative('testWeight.weight [lb/bu]', weight);
  expectPositive('testWeight.slope [1]', convention.slope);
  expectFinite('testWeight.interceptKgPerHl [kg/hL]', convention.interceptKgPerHl);
  return kilogramsPerHectolitre(convention.slope * weight + convention.interceptKgPerHl);
}
