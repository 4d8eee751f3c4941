import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import {
  KG_PER_CWT,
  ML_PER_US_FL_OZ,
  type GramsPerThousandSeeds,
  type KilogramsPerBushel,
} from '../units.ts';

/** Every way in which labels state a treatment rate. A "unit" is a bag or box of a stated number of seeds. */
export type DoseUnit = 'mL/100kg' | 'fl oz/cwt' | 'mL/bu' | 'fl oz/bu' | 'mL/unit' | 'fl oz/unit' | 'uL/seed';

/** What the mass of a bushel, a unit and a seed is, for this lot. */
export interface SeedMeasures {
  readonly bushelMass: KilogramsPerBushel;
  readonly thousandSeedMass: GramsPerThousandSeeds;
  readonly seedsPerUnit: number;
}

const ML_PER_MICROLITRE = 0.001;
const LIQUID_ML: Readonly<Record<DoseUnit, number>> = {
  'mL/100kg': 1,
  'fl oz/cwt': ML_PER_US_FL_OZ,
  'mL/bu': 1,
  'fl oz/bu': ML_PER_US_FL_OZ,
  'mL/unit': 1,
  'fl oz/unit': ML_PER_US_FL_OZ,
  'uL/seed': ML_PER_MICROLITRE,
};

/**
 * A treatment rate, said in another unit.
 *
 *     dose in `to` = dose * (liquid per `from` / seed per `from`) * (seed per `to` / liquid per `to`)
 *
 * Shape    one rate in, one rate out. The unit is an argument, so the numbers carry no brand.
 * Units    any of DoseUnit -> any of DoseUnit
 * Unknown  none
 * Throws   RangeError when the dose is negative, or a measure of the seed is not positive.
 * Source   dimensional identity; US fluid ounce and hundredweight of 100 lb (NIST Handbook 44, Appendix C).
 *
 * @example 4 fl oz/cwt on seed of 60 lb a bushel is 2.4 fl oz/bu
 */
export function convertDose(
  dose: number,
  units: { readonly from: DoseUnit; readonly to: DoseUnit },
  seed: SeedMeasures,
): number {
  expectNotNegative(`convertDose.dose [${units.from}]`, dose);
  expectPositive('convertDose.bushelMass [kg/bu]', seed.bushelMass);
  expectPositive('convertDose.thousandSeedMass [g/1000 seeds]', seed.thousandSeedMass);
  expectPositive('convertDose.seedsPerUnit [1]', seed.seedsPerUnit);

  const millilitresPerKilogram = (dose * LIQUID_ML[units.from]) / seedKilograms(units.from, seed);
  return (millilitresPerKilogram * seedKilograms(units.to, seed)) / LIQUID_ML[units.to];
}

/** The mass of seed that one dose in this unit is for. */
function seedKilograms(unit: DoseUnit, seed: SeedMeasures): number {
  const seedKg = seed.thousandSeedMass / 1e6;
  switch (unit) {
    case 'mL/100kg':
      return 100;
    case 'fl oz/cwt':
      return KG_PER_CWT;
    case 'mL/bu':
    case 'fl oz/bu':
      return seed.bushelMass;
    case 'mL/unit':
    case 'fl oz/unit':
      return seedKg * seed.seedsPerUnit;
    case 'uL/seed':
      return seedKg;
  }
}
