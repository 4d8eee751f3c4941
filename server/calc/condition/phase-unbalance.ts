import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Amperes, type Ratio, type Volts } from '../units.ts';

/** The three line-to-line voltages, or the three currents, of one instant. */
export interface Phases<Unit extends Volts | Amperes> {
  readonly values: readonly [Unit, Unit, Unit];
  /** Below this mean the motor is off and the quotient is noise. */
  readonly meanFloor: NoInfer<Unit>;
}

/**
 * How far the three phases are from being equal.
 *
 *     unbalance = largest distance from the mean / mean
 *
 * Shape    one instant in, one figure out. Of currents it is about six to ten times that of the voltages.
 * Units    V or A -> 1
 * Unknown  'line-stopped' when the mean is below the floor.
 * Throws   RangeError when a value is negative or the floor is not positive.
 * Source   NEMA MG-1.
 *
 * @example 460, 467 and 450 V: mean 459, distance 9, unbalance 1.961 %
 */
export function phaseUnbalance<Unit extends Volts | Amperes>({
  values,
  meanFloor,
}: Phases<Unit>): Figure<Ratio> {
  for (const [index, value] of values.entries())
    expectNotNegative(`phaseUnbalance.values[${index}] [V or A]`, value);
  expectPositive('phaseUnbalance.meanFloor [V or A]', meanFloor);

  const [a, b, c] = values;
  const mean = (a + b + c) / 3;
  if (mean < meanFloor) return unknown('line-stopped');
  const distances = values.map((value) => Math.abs(value - mean));
  return known(ratio(Math.max(...distances) / mean));
}
