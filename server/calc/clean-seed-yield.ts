import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { known, unknown, type Figure } from './figure.ts';
import { ratio, type Ratio, type SeedAmount } from './units.ts';

/** Both amounts over one window (kg), or both at one instant (kg/h); the compiler refuses a mixture. */
export interface YieldInputs<Amount extends SeedAmount> {
  readonly feed: Amount;
  /** Seed before treatment, or treated mass less the liquid it retains: see `seed-before-treatment.ts`. */
  readonly cleanSeed: NoInfer<Amount>;
  /** Below this feed the line counts as stopped and the quotient is noise. */
  readonly feedFloor: NoInfer<Amount>;
}

/**
 * Which part of the seed that went in came out clean.
 *
 *     yield = cleanSeed / feed
 *
 * Shape    totals of one window, or lag-matched rates of one instant, in; one figure out.
 * Units    kg, kg -> 1; or kg/h, kg/h -> 1
 * Unknown  'line-stopped' when feed < feedFloor.
 * Throws   RangeError when an amount is negative or the floor is not positive.
 * Source   definition, mass balance of the line. A yield above 1 is kept: it says that a scale or a lag is wrong.
 *
 * @example 8500 kg clean seed from 10000 kg feed is a yield of 0.85
 */
export function cleanSeedYield<Amount extends SeedAmount>(inputs: YieldInputs<Amount>): Figure<Ratio> {
  const { feed, cleanSeed, feedFloor } = inputs;
  expectNotNegative('cleanSeedYield.feed [kg or kg/h]', feed);
  expectNotNegative('cleanSeedYield.cleanSeed [kg or kg/h]', cleanSeed);
  expectPositive('cleanSeedYield.feedFloor [kg or kg/h]', feedFloor);

  if (feed < feedFloor) return unknown('line-stopped');
  return known(ratio(cleanSeed / feed));
}
