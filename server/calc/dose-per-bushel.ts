import { expectNotNegative } from './expect-not-negative.ts';
import { expectPositive } from './expect-positive.ts';
import { known, unknown, type Figure } from './figure.ts';
import {
  MINUTES_PER_HOUR,
  millilitresPerBushel,
  type KilogramsPerBushel,
  type KilogramsPerHour,
  type MillilitresPerBushel,
  type MillilitresPerMinute,
} from './units.ts';

export interface DoseInputs {
  readonly doseRate: MillilitresPerMinute;
  readonly seedRate: KilogramsPerHour;
  readonly bushelMass: KilogramsPerBushel;
  /** Below this seed flow the line counts as stopped and the quotient is noise. */
  readonly seedRateFloor: KilogramsPerHour;
}

/**
 * How much treatment liquid each bushel of seed receives, right now.
 *
 *     dose per bushel = doseRate * 60 / (seedRate / bushelMass)
 *
 * Shape    one instant in, one figure out. Smooth the inputs, never the quotient.
 * Units    mL/min, kg/h, kg/bu -> mL/bu
 * Unknown  'line-stopped' when seedRate < seedRateFloor.
 * Throws   RangeError when a rate is negative, or a mass or floor is not positive.
 * Source   dimensional identity; bushel masses cite theirs in config/crops.yaml.
 *
 * @example 300 mL/min onto 9000 kg/h of 27.2 kg bushels is 54.4 mL/bu
 */
export function dosePerBushel(inputs: DoseInputs): Figure<MillilitresPerBushel> {
  const { doseRate, seedRate, bushelMass, seedRateFloor } = inputs;
  expectNotNegative('dosePerBushel.doseRate [mL/min]', doseRate);
  expectNotNegative('dosePerBushel.seedRate [kg/h]', seedRate);
  expectPositive('dosePerBushel.bushelMass [kg/bu]', bushelMass);
  expectPositive('dosePerBushel.seedRateFloor [kg/h]', seedRateFloor);

  if (seedRate < seedRateFloor) return unknown('line-stopped');
  const bushelsPerHour = seedRate / bushelMass;
  return known(millilitresPerBushel((doseRate * MINUTES_PER_HOUR) / bushelsPerHour));
}
