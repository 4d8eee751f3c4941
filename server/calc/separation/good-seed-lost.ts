import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import { kilogramsPerHour, type KilogramsPerHour, type Ratio } from '../units.ts';

/**
 * How much good seed a reject stream carries away.
 *
 *     good seed lost = reject * pure seed in the reject
 *
 * Shape    a reject rate and its latest hand sample in, one rate out; the caller says how old the sample is.
 * Units    kg/h, 1 -> kg/h
 * Unknown  none
 * Throws   RangeError when the rate is negative or the fraction outside 0 to 1.
 * Source   definition.
 *
 * @example 400 kg/h of lights that are 35 % good seed carry away 140 kg/h
 */
export function goodSeedLost(reject: KilogramsPerHour, pureSeed: Ratio): KilogramsPerHour {
  expectNotNegative('goodSeedLost.reject [kg/h]', reject);
  expectWithin('goodSeedLost.pureSeed [1]', pureSeed, { low: 0, high: 1 });
  return kilogramsPerHour(reject * pureSeed);
}
