import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { figureInputError } from '../figure-input-error.ts';
import { millimetresPerSecond, type MillimetresPerSecond } from '../units.ts';

export type VibrationZone = 'A' | 'B' | 'C' | 'D';

/** Where one zone ends and the next begins. */
export interface ZoneLimits {
  readonly ab: MillimetresPerSecond;
  readonly bc: MillimetresPerSecond;
  readonly cd: MillimetresPerSecond;
}

const limits = (ab: number, bc: number, cd: number): ZoneLimits => ({
  ab: millimetresPerSecond(ab),
  bc: millimetresPerSecond(bc),
  cd: millimetresPerSecond(cd),
});

/**
 * Limits for velocity on bearing housings (r.m.s., 10 to 1000 Hz). Groups and supports of ISO 10816-3 (now 20816-3):
 * group 1 above 300 kW, group 2 from 15 to 300 kW. Smaller machines: class I of ISO 10816-1. From memory, and many copies
 * in print are wrong: a plant confirms them against its own copy of the standard.
 */
export const VIBRATION_LIMITS = {
  'group-1-rigid': limits(2.3, 4.5, 7.1),
  'group-1-flexible': limits(3.5, 7.1, 11),
  'group-2-rigid': limits(1.4, 2.8, 4.5),
  'group-2-flexible': limits(2.3, 4.5, 7.1),
  'class-I': limits(0.71, 1.8, 4.5),
} as const;

/**
 * How bad a vibration is for a machine of its kind.
 *
 *     A as new;  B may run for long;  C plan the repair;  D damages
 *
 * Shape    one broadband velocity and the limits of the machine's kind in, one zone out. The frame of a sieve shaker
 *          vibrates by design: there the zones say nothing, and its own past does.
 * Units    mm/s -> none
 * Unknown  none
 * Throws   RangeError when the velocity is negative or the limits do not rise.
 * Source   ISO 10816-3:2009, carried into ISO 20816-3:2022.
 *
 * @example group 2 on rigid support: 1.3 is A, 2.0 B, 3.0 C and 5.0 mm/s D
 */
export function vibrationZone(velocity: MillimetresPerSecond, { ab, bc, cd }: ZoneLimits): VibrationZone {
  expectNotNegative('vibrationZone.velocity [mm/s]', velocity);
  expectPositive('vibrationZone.ab [mm/s]', ab);
  if (!(bc > ab)) throw figureInputError('vibrationZone.bc [mm/s]', bc, `> ${ab}`);
  if (!(cd > bc)) throw figureInputError('vibrationZone.cd [mm/s]', cd, `> ${bc}`);
  if (velocity <= ab) return 'A';
  if (velocity <= bc) return 'B';
  return velocity <= cd ? 'C' : 'D';
}
