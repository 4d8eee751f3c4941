import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import { millilitresPer100Kilograms, type MillilitresPer100Kilograms, type Ratio } from '../units.ts';

/**
 * How much of one product the seed received, of a slurry mixed by recipe.
 *
 *     product dose = share in the slurry * slurry dose
 *
 * Shape    the measured dose of the slurry and the product's share by recipe (`slurryMix`) in, one dose out.
 * Units    mL/100 kg, 1 -> mL/100 kg
 * Unknown  none: where the slurry's dose is unknown there is nothing to ask.
 * Throws   RangeError when the dose is negative or the share is outside 0 to 1.
 * Source   proportion. It rests on the recipe having been mixed as written.
 *
 * @example 270 mL/100 kg of a slurry that is one third product A gives 90 mL/100 kg of A
 */
export function productDose(
  slurryDose: MillilitresPer100Kilograms,
  share: Ratio,
): MillilitresPer100Kilograms {
  expectNotNegative('productDose.slurryDose [mL/100kg]', slurryDose);
  expectWithin('productDose.share [1]', share, { low: 0, high: 1 });
  return millilitresPer100Kilograms(slurryDose * share);
}
