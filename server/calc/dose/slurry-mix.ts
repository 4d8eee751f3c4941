import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import { figureInputError } from '../figure-input-error.ts';
import { sumOf } from '../sum-of.ts';
import {
  gramsPerMillilitre,
  millilitresPer100Kilograms,
  ratio,
  type GramsPerMillilitre,
  type MillilitresPer100Kilograms,
  type Ratio,
} from '../units.ts';

/** One product, or the water, of a slurry. */
export interface SlurryPart {
  readonly dose: MillilitresPer100Kilograms;
  readonly density: GramsPerMillilitre;
}

export interface SlurryMix {
  readonly dose: MillilitresPer100Kilograms;
  readonly density: GramsPerMillilitre;
  /** What part of the slurry's volume each part is, in the order given; together they are 1. */
  readonly shares: readonly Ratio[];
}

/** No treatment liquid is lighter or heavier; a density outside is a slip of the pen. */
const DENSITY_ENDS = { low: 0.7, high: 1.6 };

/**
 * What the mixed liquid is: its dose, its density, and the share of each product in it.
 *
 *     dose = sum(dose_i);  density = sum(dose_i * density_i) / dose;  share_i = dose_i / dose
 *
 * Shape    the parts of one recipe, water among them, in; one mixture out.
 * Units    mL/100 kg, g/mL -> mL/100 kg, g/mL, 1
 * Unknown  none
 * Throws   RangeError when a dose is negative, all are zero, or a density is outside 0.7 to 1.6 g/mL.
 * Source   conservation of mass; volumes are taken to add up, which powders stirred in do not quite do.
 *
 * @example 100 mL of 1.10, 50 mL of 1.25 and 150 mL water of 0.998 g/mL: 300 mL/100 kg of 1.074 g/mL
 */
export function slurryMix(parts: readonly SlurryPart[]): SlurryMix {
  for (const [index, { dose, density }] of parts.entries()) {
    expectNotNegative(`slurryMix.parts[${index}].dose [mL/100kg]`, dose);
    expectWithin(`slurryMix.parts[${index}].density [g/mL]`, density, DENSITY_ENDS);
  }
  const total = sumOf(parts.map(({ dose }) => dose));
  if (total === 0) throw figureInputError('slurryMix.parts total dose [mL/100kg]', total, '> 0');

  const grams = sumOf(parts.map(({ dose, density }) => dose * density));
  return {
    dose: millilitresPer100Kilograms(total),
    density: gramsPerMillilitre(grams / total),
    shares: parts.map(({ dose }) => ratio(dose / total)),
  };
}
