import { expectNotNegative } from '../expect-not-negative.ts';
import { ratio, type Grams, type Ratio } from '../units.ts';

/** What a working sample is parted into. */
const COMPONENTS = ['pureSeed', 'otherCrop', 'inert', 'weed'] as const;
type PurityComponent = (typeof COMPONENTS)[number];
export type ComponentMasses = Readonly<Record<PurityComponent, Grams>>;
export type ComponentShares = Readonly<Record<PurityComponent, Ratio>>;

/**
 * What each component of a purity sample is of the whole.
 *
 *     share = mass / sum of the masses of all components
 *
 * Shape    four masses of one working sample in, four shares that make a whole out.
 * Units    g -> 1
 * Unknown  null when all components are empty.
 * Throws   RangeError when a mass is negative.
 * Source   7 CFR 201.47: the sum of the components is the whole, not the mass before parting them.
 *
 * @example 98 g pure seed, 0.5 g other crop, 1.4 g inert and 0.1 g weed: purity 0.98
 */
export function purityAnalysis(masses: ComponentMasses): ComponentShares | null {
  for (const name of COMPONENTS) expectNotNegative(`purityAnalysis.${name} [g]`, masses[name]);
  const { pureSeed, otherCrop, inert, weed } = masses;
  const whole = pureSeed + otherCrop + inert + weed;
  if (whole === 0) return null;
  return {
    pureSeed: ratio(pureSeed / whole),
    otherCrop: ratio(otherCrop / whole),
    inert: ratio(inert / whole),
    weed: ratio(weed / whole),
  };
}
