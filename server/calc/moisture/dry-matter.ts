import { kilograms, ratio, type Kilograms, type Ratio } from '../units.ts';
import { massAtMoisture } from './mass-at-moisture.ts';

/**
 * What of the seed is not water: the mass that a dryer cannot change.
 *
 *     dry matter = mass * (1 - moisture)
 *
 * Shape    one mass and its moisture in, one mass out.
 * Units    kg, 1 (wet basis) -> kg
 * Unknown  none
 * Throws   RangeError when the mass is negative or the moisture is outside 0 to 0.6.
 * Source   definition of moisture, wet basis.
 *
 * @example 1000 kg of 16 % hold 840 kg dry matter
 */
export function dryMatter(mass: Kilograms, moisture: Ratio): Kilograms {
  return kilograms(massAtMoisture(mass, { from: moisture, to: ratio(0) }));
}
