import { expectNotNegative } from '../expect-not-negative.ts';
import { expectWithin } from '../expect-within.ts';
import { kilowatts, type Amperes, type Kilowatts, type Ratio, type Volts } from '../units.ts';

export interface ThreePhaseLoad {
  /** Line to line. */
  readonly voltage: Volts;
  readonly current: Amperes;
  readonly powerFactor: Ratio;
}

/**
 * The electrical power that a three-phase motor takes.
 *
 *     power = sqrt(3) * voltage * current * powerFactor / 1000
 *
 * Shape    one instant in, one power out. Below half load the power factor falls: current alone says little there.
 * Units    V, A, 1 -> kW
 * Unknown  none
 * Throws   RangeError when voltage or current is negative, or the power factor outside 0 to 1.
 * Source   definition.
 *
 * @example 460 V, 50 A and 0.85 are 33.8616 kW
 */
export function threePhasePower({ voltage, current, powerFactor }: ThreePhaseLoad): Kilowatts {
  expectNotNegative('threePhasePower.voltage [V]', voltage);
  expectNotNegative('threePhasePower.current [A]', current);
  expectWithin('threePhasePower.powerFactor [1]', powerFactor, { low: 0, high: 1 });
  return kilowatts((Math.sqrt(3) * voltage * current * powerFactor) / 1000);
}
