import { expectNotNegative } from '../expect-not-negative.ts';
import { kilogramsPerHour, type KilogramsPerHour, type Ratio } from '../units.ts';

/**
 * How much water the drying air carries off.
 *
 *     evaporation = dryAir * (leaving - entering)
 *
 * Shape    one instant in, one rate out; negative where the air gives water to the seed.
 * Units    kg/h dry air, kg/kg, kg/kg -> kg/h
 * Unknown  none
 * Throws   RangeError when the air flow or a humidity ratio is negative.
 * Source   conservation of water.
 *
 * @example 5000 kg/h dry air that enters with 0.008 and leaves with 0.014 kg/kg carries off 30 kg/h
 */
export function evaporationRate(
  dryAir: KilogramsPerHour,
  humidityRatios: { readonly entering: Ratio; readonly leaving: Ratio },
): KilogramsPerHour {
  expectNotNegative('evaporationRate.dryAir [kg/h]', dryAir);
  expectNotNegative('evaporationRate.entering [kg/kg]', humidityRatios.entering);
  expectNotNegative('evaporationRate.leaving [kg/kg]', humidityRatios.leaving);
  return kilogramsPerHour(dryAir * (humidityRatios.leaving - humidityRatios.entering));
}
