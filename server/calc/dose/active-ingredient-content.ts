import { expectNotNegative } from '../expect-not-negative.ts';
import { ratio, type GramsPerLitre, type MillilitresPer100Kilograms, type Ratio } from '../units.ts';

/**
 * What part of the seed's mass the active ingredient is; times 1e6 it is ppm by mass.
 *
 *     content of the seed = dose * content of the product / 1e8
 *
 * Shape    one product's dose in, one mass fraction out.
 * Units    mL/100 kg, g/L -> 1 (kg active ingredient a kg seed)
 * Unknown  none
 * Throws   RangeError when dose or content is negative.
 * Source   dimensional identity: 1 mL/100 kg of 1 g/L is 1 mg in 100 kg.
 *
 * @example 100 mL/100 kg of 250 g/L is 25 g in 100 kg, 0.00025 or 250 ppm
 */
export function activeIngredientContent(dose: MillilitresPer100Kilograms, content: GramsPerLitre): Ratio {
  expectNotNegative('activeIngredientContent.dose [mL/100kg]', dose);
  expectNotNegative('activeIngredientContent.content [g/L]', content);
  return ratio((dose * content) / 1e8);
}
