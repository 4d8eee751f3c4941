import { expectPositive } from '../expect-positive.ts';
import { ratio, type Celsius, type Ratio } from '../units.ts';
import { wetBasis } from './moisture-basis.ts';

/**
 * Constants of one crop. Published sets disagree by up to 0.7 point, so the set's name stays with its numbers. `inPercent`
 * says whether the set's equation speaks of moisture (dry basis) in per cent or as a decimal.
 */
export type MoistureConstants = {
  readonly name: string;
  readonly inPercent: boolean;
} & (
  | { readonly model: 'modified-henderson'; readonly k: number; readonly n: number; readonly c: number }
  | { readonly model: 'chung-pfost'; readonly a: number; readonly b: number; readonly c: number }
  | { readonly model: 'modified-halsey'; readonly a: number; readonly b: number; readonly c: number }
  | { readonly model: 'modified-oswin'; readonly a: number; readonly b: number; readonly c: number }
);

export interface GrainAir {
  readonly temperature: Celsius;
  readonly relativeHumidity: Ratio;
}

export interface EquilibriumMoisture {
  /** Wet basis; null where the set does not reach. */
  readonly moisture: Ratio | null;
  /** Whose constants these are. */
  readonly set: string;
}

/**
 * The moisture that seed comes to in air of a given temperature and humidity.
 *
 *     modified Henderson  m = (ln(1 - rh) / (-k (t + c)))^(1 / n)
 *     Chung-Pfost         m = -ln(-(t + c) ln(rh) / a) / b
 *     modified Halsey     m = (-exp(a + b t) / ln(rh))^(1 / c)
 *     modified Oswin      m = (a + b t) * (rh / (1 - rh))^(1 / c)
 *
 * Shape    one state of the air and the constants of one crop in, one moisture and the name of its constants out.
 * Units    degC, 1 -> 1 (wet basis)
 * Unknown  null outside 5 to 50 degC or a humidity of 0.1 to 0.95, for which no set was measured, and
 *          where the constants give no positive moisture.
 * Throws   RangeError when a constant by which the equation divides is not positive.
 * Source   ASABE D245, equations; the constants are configuration, with their own source.
 *
 * @example wheat (a 610.34, b 0.15526, c 93.213, per cent, Chung-Pfost) at 25 degC and 70 %: 14.685 %
 */
export function equilibriumMoisture(air: GrainAir, constants: MoistureConstants): EquilibriumMoisture {
  expectConstants(constants);
  const { temperature, relativeHumidity } = air;
  const isMeasuredRange =
    temperature >= 5 && temperature <= 50 && relativeHumidity >= 0.1 && relativeHumidity <= 0.95;
  if (!isMeasuredRange) return { moisture: null, set: constants.name };

  const dry = dryBasisOf(air, constants) / (constants.inPercent ? 100 : 1);
  return { moisture: dry > 0 ? wetBasis(ratio(dry)) : null, set: constants.name };
}

function dryBasisOf(
  { temperature: t, relativeHumidity: rh }: GrainAir,
  constants: MoistureConstants,
): number {
  switch (constants.model) {
    case 'modified-henderson':
      return (Math.log(1 - rh) / (-constants.k * (t + constants.c))) ** (1 / constants.n);
    case 'chung-pfost':
      return -Math.log((-(t + constants.c) * Math.log(rh)) / constants.a) / constants.b;
    case 'modified-halsey':
      return (-Math.exp(constants.a + constants.b * t) / Math.log(rh)) ** (1 / constants.c);
    case 'modified-oswin':
      return (constants.a + constants.b * t) * (rh / (1 - rh)) ** (1 / constants.c);
  }
}

function expectConstants(constants: MoistureConstants): void {
  const { model } = constants;
  const divisors = {
    'modified-henderson': ['k', 'n'],
    'chung-pfost': ['a', 'b'],
    'modified-halsey': ['c'],
    'modified-oswin': ['c'],
  }[model];
  for (const [name, value] of Object.entries(constants)) {
    if (typeof value === 'number' && divisors.includes(name)) {
      expectPositive(`equilibriumMoisture.constants.${name} [1]`, value);
    }
  }
}
