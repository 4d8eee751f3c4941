import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import {
  hours,
  MINUTES_PER_HOUR,
  type Hours,
  type Millilitres,
  type MillilitresPerMinute,
} from '../units.ts';

export interface TankInputs {
  readonly volume: Millilitres;
  /** What stays below the outlet. */
  readonly unusable: Millilitres;
  /** Smoothed: a tank of two hours does not care for one stroke of the pump. */
  readonly flow: MillilitresPerMinute;
  /** Below this flow the tank is not being emptied. */
  readonly flowFloor: MillilitresPerMinute;
}

/**
 * How long the tank lasts at the present flow.
 *
 *     time to empty = max(0, volume - unusable) / flow
 *
 * Shape    one instant in, one duration out.
 * Units    mL, mL/min -> h
 * Unknown  'line-stopped' when flow < flowFloor.
 * Throws   RangeError when a volume or the flow is negative, or the floor is not positive.
 * Source   dimensional identity.
 *
 * @example 100 L of which 10 L are unusable, at 500 mL/min: 3 h
 */
export function timeToEmpty(inputs: TankInputs): Figure<Hours> {
  const { volume, unusable, flow, flowFloor } = inputs;
  expectNotNegative('timeToEmpty.volume [mL]', volume);
  expectNotNegative('timeToEmpty.unusable [mL]', unusable);
  expectNotNegative('timeToEmpty.flow [mL/min]', flow);
  expectPositive('timeToEmpty.flowFloor [mL/min]', flowFloor);

  if (flow < flowFloor) return unknown('line-stopped');
  return known(hours(Math.max(0, volume - unusable) / flow / MINUTES_PER_HOUR));
}
