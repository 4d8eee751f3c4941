import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import { ratio, type Ratio, type RevolutionsPerMinute } from '../units.ts';

export interface BeltDrive {
  readonly driverSpeed: RevolutionsPerMinute;
  readonly drivenSpeed: RevolutionsPerMinute;
  /** Diameter of the driven pulley over that of the driving one. */
  readonly diameterRatio: Ratio;
  /** Below this speed of the driver the drive is off and the quotient is noise. */
  readonly driverSpeedFloor: RevolutionsPerMinute;
}

/**
 * Which part of its speed a belt loses by slipping.
 *
 *     slip = 1 - drivenSpeed * diameterRatio / driverSpeed
 *
 * Shape    one instant in, one figure out; a little below 0 where speeds or diameters are not exact.
 * Units    1/min, 1/min, 1 -> 1
 * Unknown  'line-stopped' when the driver turns slower than the floor.
 * Throws   RangeError when a speed is negative, or the diameter ratio or floor not positive.
 * Source   kinematics.
 *
 * @example 1750/min on 6.0 in drives 9.5 in at 1083/min: 1105.26 without slip, so 2.014 %
 */
export function beltSlip(drive: BeltDrive): Figure<Ratio> {
  const { driverSpeed, drivenSpeed, diameterRatio, driverSpeedFloor } = drive;
  expectNotNegative('beltSlip.driverSpeed [1/min]', driverSpeed);
  expectNotNegative('beltSlip.drivenSpeed [1/min]', drivenSpeed);
  expectPositive('beltSlip.diameterRatio [1]', diameterRatio);
  expectPositive('beltSlip.driverSpeedFloor [1/min]', driverSpeedFloor);

  if (driverSpeed < driverSpeedFloor) return unknown('line-stopped');
  return known(ratio(1 - (drivenSpeed * diameterRatio) / driverSpeed));
}
