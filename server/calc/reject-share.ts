import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { known, unknown, type Figure } from './figure.ts';
import { ratio, type Ratio, type SeedAmount } from './units.ts';

/** Both amounts over one window (kg), or both at one instant (kg/h). */
export interface RejectShareInputs<Amount extends SeedAmount> {
  readonly lineFeed: Amount;
  readonly reject: NoInfer<Amount>;
  /** Below this feed the line counts as stopped and the quotient is noise. */
  readonly lineFeedFloor: NoInfer<Amount>;
}

/**
 * Which part of what the line received one machine took out. The shares of all machines and the yield make a whole.
 *
 *     reject share = reject / lineFeed
 *
 * Shape    totals of one window, or lag-matched rates of one instant, in; one figure out.
 * Units    kg, kg -> 1; or kg/h, kg/h -> 1
 * Unknown  'line-stopped' when lineFeed < lineFeedFloor.
 * Throws   RangeError when an amount is negative or the floor is not positive.
 * Source   definition. Over the line's feed; over the machine's own feed it is `rejectRatio`.
 *
 * @example 300 kg taken out by one machine of a line fed 10000 kg is a reject share of 0.03
 */
export function rejectShare<Amount extends SeedAmount>(inputs: RejectShareInputs<Amount>): Figure<Ratio> {
  const { lineFeed, reject, lineFeedFloor } = inputs;
  expectNotNegative('rejectShare.lineFeed [kg or kg/h]', lineFeed);
  expectNotNegative('rejectShare.reject [kg or kg/h]', reject);
  expectPositive('rejectShare.lineFeedFloor [kg or kg/h]', lineFeedFloor);

  if (lineFeed < lineFeedFloor) return unknown('line-stopped');
  return known(ratio(reject / lineFeed));
}
