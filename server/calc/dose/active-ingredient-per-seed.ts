import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import {
  milligramsPerSeed,
  type GramsPerLitre,
  type GramsPerThousandSeeds,
  type MilligramsPerSeed,
  type MillilitresPer100Kilograms,
} from '../units.ts';

export interface ActiveIngredientInputs {
  readonly dose: MillilitresPer100Kilograms;
  /** Active ingredient in the product. */
  readonly content: GramsPerLitre;
  readonly thousandSeedMass: GramsPerThousandSeeds;
}

/** From the smallest grass seed to the largest bean; outside it is a slip of the pen. */
const THOUSAND_SEED_ENDS = { low: 0.05, high: 1500 };

/**
 * How much active ingredient one seed carries.
 *
 *     mg a seed = dose * content * thousandSeedMass / 1e8
 *
 * Shape    one product's dose in, one mass a seed out.
 * Units    mL/100 kg, g/L, g/1000 seeds -> mg/seed
 * Unknown  none
 * Throws   RangeError when dose or content is negative, or a thousand seeds weigh outside 0.05 to 1500 g.
 * Source   dimensional identity: mL * g/L = mg.
 *
 * @example 100 mL/100 kg of 250 g/L on seed of 45 g a thousand is 0.01125 mg/seed
 */
export function activeIngredientPerSeed(inputs: ActiveIngredientInputs): MilligramsPerSeed {
  const { dose, content, thousandSeedMass } = inputs;
  expectNotNegative('activeIngredientPerSeed.dose [mL/100kg]', dose);
  expectNotNegative('activeIngredientPerSeed.content [g/L]', content);
  expectWithin(
    'activeIngredientPerSeed.thousandSeedMass [g/1000 seeds]',
    thousandSeedMass,
    THOUSAND_SEED_ENDS,
  );
  return milligramsPerSeed((dose * content * thousandSeedMass) / 1e8);
}
