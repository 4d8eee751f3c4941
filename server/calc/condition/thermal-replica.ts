import { expectNotNegative } from '../expect-not-negative.ts';
import { expectPositive } from '../expect-positive.ts';
import { milliseconds, ratio, type Amperes, type Milliseconds, type Ratio } from '../units.ts';

/** How a motor heats, as its overload relay would see it. */
export interface ThermalDesign {
  readonly ratedCurrent: Amperes;
  /** Of the rated current, what it may carry for ever; 1.05 is usual. */
  readonly overloadFactor: number;
  readonly heatingTime: Milliseconds;
  /** At rest a motor cools three to five times slower than it heats. */
  readonly coolingTime: Milliseconds;
}

/**
 * How warm a motor is after some time at a current, as a share of what trips its relay.
 *
 *     aim = (current / (overloadFactor * ratedCurrent))^2
 *     warmth' = aim + (warmth - aim) * exp(-time / time constant)
 *
 * Shape    the warmth so far, a current and for how long it flowed in, the warmth now out; 1 is where the relay trips.
 *          At no current the cooling time holds, else the heating time.
 * Units    1, A, ms -> 1
 * Unknown  none
 * Throws   RangeError when warmth, current or time is negative, or a constant of the design not positive.
 * Source   thermal model of IEC 60255-149.
 *
 * @example a cold motor with a time constant of 10 min at 1.5 times its rated current reaches 1 after 6.7334 min
 */
export function thermalReplica(
  warmth: Ratio,
  load: { readonly current: Amperes; readonly time: Milliseconds },
  design: ThermalDesign,
): Ratio {
  expectNotNegative('thermalReplica.warmth [1]', warmth);
  expectNotNegative('thermalReplica.current [A]', load.current);
  expectNotNegative('thermalReplica.time [ms]', load.time);
  expectDesign('thermalReplica', design);

  const timeConstant = load.current === 0 ? design.coolingTime : design.heatingTime;
  const aim = aimOf(load.current, design);
  return ratio(aim + (warmth - aim) * Math.exp(-(load.time / timeConstant)));
}

/**
 * How long a motor may go on at this current before its relay trips.
 *
 *     time = heatingTime * ln((aim - warmth) / (aim - 1))
 *
 * Shape    the warmth now and a constant current in, one duration out; 0 once it is warm enough.
 * Units    1, A -> ms
 * Unknown  null when the current is one that the motor carries for ever: it never trips.
 * Throws   RangeError when warmth or current is negative, or a constant of the design not positive.
 * Source   IEC 60255-149; for a motor that was steady at a current before, warmth is that current's aim.
 *
 * @example at 1.5 times the rated current, time constant 10 min, factor 1.05: cold 6.7334 min, from 0.9 2.2706 min
 */
export function timeToTrip(warmth: Ratio, current: Amperes, design: ThermalDesign): Milliseconds | null {
  expectNotNegative('timeToTrip.warmth [1]', warmth);
  expectNotNegative('timeToTrip.current [A]', current);
  expectDesign('timeToTrip', design);

  const aim = aimOf(current, design);
  if (warmth >= 1) return milliseconds(0);
  if (aim <= 1) return null;
  return milliseconds(design.heatingTime * Math.log((aim - warmth) / (aim - 1)));
}

function aimOf(current: Amperes, { overloadFactor, ratedCurrent }: ThermalDesign): number {
  return (current / (overloadFactor * ratedCurrent)) ** 2;
}

function expectDesign(name: string, design: ThermalDesign): void {
  expectPositive(`${name}.ratedCurrent [A]`, design.ratedCurrent);
  expectPositive(`${name}.overloadFactor [1]`, design.overloadFactor);
  expectPositive(`${name}.heatingTime [ms]`, design.heatingTime);
  expectPositive(`${name}.coolingTime [ms]`, design.coolingTime);
}
