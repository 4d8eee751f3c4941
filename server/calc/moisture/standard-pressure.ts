import { expectWithin } from '../expect-within.ts';
import { pascals, type Metres, type Pascals } from '../units.ts';

/**
 * The usual pressure of the air at an altitude.
 *
 *     p = 101325 * (1 - 2.25577e-5 * altitude)^5.2559
 *
 * Shape    one altitude in, one pressure out.
 * Units    m -> Pa
 * Unknown  none
 * Throws   RangeError when the altitude is outside -5000 to 11000 m.
 * Source   ASHRAE Handbook - Fundamentals (2017), ch. 1, eq. 3.
 *
 * @example at 1000 m it is 89875 Pa
 */
export function standardPressure(altitude: Metres): Pascals {
  expectWithin('standardPressure.altitude [m]', altitude, { low: -5000, high: 11_000 });
  return pascals(101_325 * (1 - 2.255_77e-5 * altitude) ** 5.2559);
}
