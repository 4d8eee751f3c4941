import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { expectWithin } from '../expect-within.ts';
import { figureInputError } from '../figure-input-error.ts';
import { ratio, type Ratio, type RevolutionsPerMinute } from '../units.ts';

/** By how much of its normal speed a bucket elevator may slow down. */
export interface LegSpeedLimits {
  readonly warningDrop: Ratio;
  /** Where the motion switch, wired to the starter, has to have stopped the leg by itself. */
  readonly tripDrop: Ratio;
}

export interface LegSpeed {
  readonly drop: Ratio;
  readonly state: 'normal' | 'slow' | 'trip-due';
}

/**
 * Whether a bucket elevator runs slower than it should: a slipping or choked belt heats until dust can catch fire.
 *
 *     drop = 1 - speed / normal;  'slow' from the warning, 'trip-due' from the trip
 *
 * Shape    the speed of a running leg in, its drop and state out. This tells what the leg's own switch should have done;
 *          it stops nothing.
 * Units    1/min -> 1
 * Unknown  none: the caller knows whether the leg is meant to run.
 * Throws   RangeError when the speed is negative, the normal speed not positive, a drop outside 0 to 1, or the trip
 *          before the warning.
 * Source   US 29 CFR 1910.272(q): motion detection stops a leg when its speed falls by no more than 20 %.
 *
 * @example normally 42/min, limits 10 and 20 %: 35/min is 'slow' (16.7 %), 33.6/min 'trip-due'
 */
export function legSpeed(
  speed: RevolutionsPerMinute,
  normal: RevolutionsPerMinute,
  { warningDrop, tripDrop }: LegSpeedLimits,
): LegSpeed {
  expectNotNegative('legSpeed.speed [1/min]', speed);
  expectPositive('legSpeed.normal [1/min]', normal);
  expectWithin('legSpeed.warningDrop [1]', warningDrop, { low: 0, high: 1 });
  expectWithin('legSpeed.tripDrop [1]', tripDrop, { low: 0, high: 1 });
  if (tripDrop < warningDrop) throw figureInputError('legSpeed.tripDrop [1]', tripDrop, `>= ${warningDrop}`);

  const reaches = (drop: number) => speed <= normal * (1 - drop);
  const state = reaches(tripDrop) ? 'trip-due' : reaches(warningDrop) ? 'slow' : 'normal';
  return { drop: ratio(1 - speed / normal), state };
}
