import { expectNotNegative } from '../expect-not-negative.ts';
import { moneyPerHour, type KilogramsPerHour, type MoneyPerHour, type MoneyPerKilogram } from '../units.ts';

/** Both in the plant's own currency. */
export interface SeedPrices {
  readonly seed: MoneyPerKilogram;
  /** What a kilogram of the reject still brings. */
  readonly salvage: MoneyPerKilogram;
}

/**
 * What the good seed in a reject stream costs the plant: what it would have brought less what it still brings.
 *
 *     worth = good seed lost * (seed price - salvage price)
 *
 * Shape    one rate and two prices in, money an hour out; negative where rejects sell better than seed.
 * Units    kg/h, money/kg -> money/h
 * Unknown  none
 * Throws   RangeError when the rate or a price is negative.
 * Source   definition.
 *
 * @example 140 kg/h of seed worth 1.20 a kg, sold as feed for 0.20, cost 140 an hour
 */
export function worthOfGoodSeedLost(lost: KilogramsPerHour, prices: SeedPrices): MoneyPerHour {
  expectNotNegative('worthOfGoodSeedLost.lost [kg/h]', lost);
  expectNotNegative('worthOfGoodSeedLost.seed [money/kg]', prices.seed);
  expectNotNegative('worthOfGoodSeedLost.salvage [money/kg]', prices.salvage);
  return moneyPerHour(lost * (prices.seed - prices.salvage));
}
