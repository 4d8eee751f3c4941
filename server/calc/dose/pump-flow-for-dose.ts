import { expectNotNegative } from '../expect-not-negative.ts';
import {
  millilitresPerMinute,
  MINUTES_PER_HOUR,
  type KilogramsPerHour,
  type MillilitresPer100Kilograms,
  type MillilitresPerMinute,
} from '../units.ts';

/**
 * What the pump must deliver for a wanted dose at this seed flow.
 *
 *     pump flow = dose * seedRate / 6000
 *
 * Shape    one instant in, one flow out; no seed, no flow.
 * Units    mL/100 kg, kg/h -> mL/min
 * Unknown  none
 * Throws   RangeError when dose or seed flow is negative.
 * Source   dimensional identity.
 *
 * @example 200 mL/100 kg at 12000 kg/h takes 400 mL/min
 */
export function pumpFlowForDose(
  dose: MillilitresPer100Kilograms,
  seedRate: KilogramsPerHour,
): MillilitresPerMinute {
  expectNotNegative('pumpFlowForDose.dose [mL/100kg]', dose);
  expectNotNegative('pumpFlowForDose.seedRate [kg/h]', seedRate);
  return millilitresPerMinute((dose * seedRate) / (100 * MINUTES_PER_HOUR));
}
