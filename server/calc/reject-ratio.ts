import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { known, unknown, type Figure } from './figure.ts';
import { ratio, type Ratio, type SeedAmount } from './units.ts';

/** Both amounts over one window (kg), or both at one instant (kg/h). */
export interface RejectRatioInputs<Amount extends SeedAmount> {
  readonly machineFeed: Amount;
  readonly reject: NoInfer<Amount>;
  /** Below this feed the machine runs empty and the quotient is noise. */
  readonly machineFeedFloor: NoInfer<Amount>;
}

/**
 * Which part of what a machine received it took out.
 *
 *     reject ratio = reject / machineFeed
 *
 * Shape    totals of one window, or lag-matched rates of one instant, in; one figure out.
 * Units    kg, kg -> 1; or kg/h, kg/h -> 1
 * Unknown  'line-stopped' when machineFeed < machineFeedFloor.
 * Throws   RangeError when an amount is negative or the floor is not positive.
 * Source   definition. Over the machine's own feed; over the line's feed it is `rejectShare`.
 *
 * @example 300 kg taken out of 6000 kg fed to the machine is a reject ratio of 0.05
 */
export function rejectRatio<Amount extends SeedAmount>(inputs: RejectRatioInputs<Amount>): Figure<Ratio> {
  const { machineFeed, reject, machineFeedFloor } = inputs;
  expectNotNegative('rejectRatio.machineFeed [kg or kg/h]', machineFeed);
  expectNotNegative('rejectRatio.reject [kg or kg/h]', reject);
  expectPositive('rejectRatio.machineFeedFloor [kg or kg/h]', machineFeedFloor);

  if (machineFeed < machineFeedFloor) return unknown('line-stopped');
  return known(ratio(reject / machineFeed));
}
