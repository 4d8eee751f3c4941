import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { known, unknown, type Figure } from '../figure.ts';
import type { Kilograms, KilogramsPerHour } from '../units.ts';

export interface BinPassage {
  readonly contents: Kilograms;
  /** What runs out of the bin now. */
  readonly outflow: KilogramsPerHour;
  /** Below this outflow the bin stands. */
  readonly outflowFloor: KilogramsPerHour;
}

const SECONDS_PER_HOUR = 3600;

/**
 * How long seed that falls into a bin now will lie in it, while it runs out as it does now.
 *
 *     passage = contents / outflow
 *
 * Shape    one instant in, one time out. For seed that leaves now: take the contents of when it came in.
 * Units    kg, kg/h -> s
 * Unknown  'line-stopped' when the outflow is below its floor: the seed stays for as long as nobody opens the gate.
 * Throws   RangeError when contents or outflow are negative, or the floor not positive.
 * Source   dimensional identity, for a bin that runs out in the order in which it was filled.
 *
 * @example 400 kg that run out at 11,400 kg/h lie there for 126.3 s
 */
export function binPassage({ contents, outflow, outflowFloor }: BinPassage): Figure<number> {
  expectNotNegative('binPassage.contents [kg]', contents);
  expectNotNegative('binPassage.outflow [kg/h]', outflow);
  expectPositive('binPassage.outflowFloor [kg/h]', outflowFloor);
  if (outflow < outflowFloor) return unknown('line-stopped');
  return known((contents / outflow) * SECONDS_PER_HOUR);
}
