import { expectFinite } from './expect-finite.ts';
import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { known, unknown, type Figure } from './figure.ts';
import { sumOf } from './sum-of.ts';
import { ratio, type Ratio, type SeedAmount } from './units.ts';

/** All amounts over one window (kg), or all at one instant (kg/h). */
export interface ClosureInputs<Amount extends SeedAmount> {
  readonly feed: Amount;
  /** Treatment liquid that stays on the seed: it leaves with the product, so it counts as going in. */
  readonly liquidRetained: NoInfer<Amount>;
  /** What the last scale weighs: treated seed where the liquid is on it. */
  readonly product: NoInfer<Amount>;
  readonly rejects: readonly NoInfer<Amount>[];
  /** Dust, and water taken out by a dryer. */
  readonly losses: NoInfer<Amount>;
  /** What the bins gained; negative while they empty. */
  readonly binGain: NoInfer<Amount>;
  /** Below this feed the line counts as stopped and the quotient is noise. */
  readonly feedFloor: NoInfer<Amount>;
}

/**
 * How far the masses are from adding up, as a share of the feed. Positive: more went in than was found again.
 *
 *     closure = (feed + liquidRetained - product - sum(rejects) - losses - binGain) / feed
 *
 * Shape    totals of one window in, one figure out.
 * Units    kg ... -> 1; or kg/h ... -> 1
 * Unknown  'line-stopped' when feed < feedFloor.
 * Throws   RangeError when an amount but binGain is negative, or the floor is not positive.
 * Source   conservation of mass. The liquid counts: 5 fl oz of 1.1 g/mL on a 60 lb bushel is 0.6 % of the seed.
 *
 * @example 10000 fed, 60 liquid, 8500 product, 900 and 500 rejects, 30 lost, 100 into bins (kg): 30 kg missing, 0.003
 */
export function closure<Amount extends SeedAmount>(inputs: ClosureInputs<Amount>): Figure<Ratio> {
  const { feed, liquidRetained, product, rejects, losses, binGain, feedFloor } = inputs;
  expectNotNegative('closure.feed [kg or kg/h]', feed);
  expectNotNegative('closure.liquidRetained [kg or kg/h]', liquidRetained);
  expectNotNegative('closure.product [kg or kg/h]', product);
  rejects.forEach((reject, index) => {
    expectNotNegative(`closure.rejects[${index}] [kg or kg/h]`, reject);
  });
  expectNotNegative('closure.losses [kg or kg/h]', losses);
  expectFinite('closure.binGain [kg or kg/h]', binGain);
  expectPositive('closure.feedFloor [kg or kg/h]', feedFloor);

  if (feed < feedFloor) return unknown('line-stopped');
  return known(ratio((feed + liquidRetained - product - sumOf(rejects) - losses - binGain) / feed));
}
