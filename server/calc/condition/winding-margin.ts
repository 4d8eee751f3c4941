import { expectWithin } from '../expect-within.ts';
import type { Celsius } from '../units.ts';

export type InsulationClass = 'A' | 'B' | 'F' | 'H';

/** Temperature that the winding's insulation bears for its designed life. */
const LIMIT_C: Readonly<Record<InsulationClass, number>> = { A: 105, B: 130, F: 155, H: 180 };

/**
 * How much cooler a winding is than its insulation bears. Each 10 degC beyond the limit halve its life.
 *
 *     margin = limit of the class - temperature
 *
 * Shape    one temperature and the class on the motor's plate in, degrees out; negative is too hot.
 * Units    degC -> K
 * Unknown  none
 * Throws   RangeError when the temperature is outside -60 to 400 degC, where no winding is.
 * Source   IEC 60085 classes (105, 130, 155, 180 degC), from memory.
 *
 * @example a winding of class F at 140 degC has 15 K left
 */
export function windingMargin(temperature: Celsius, insulation: InsulationClass): number {
  expectWithin('windingMargin.temperature [degC]', temperature, { low: -60, high: 400 });
  return LIMIT_C[insulation] - temperature;
}
