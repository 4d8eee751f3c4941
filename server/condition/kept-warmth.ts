import { thermalReplica, type ThermalDesign } from '../calc/condition/thermal-replica.ts';
import { amperes, milliseconds, ratio, type Ratio } from '../calc/units.ts';
import type { Glimpse } from '../machines/step-point.ts';
import { GLIMPSE_MS } from './recorded-stretch.ts';

/** Time constants of a motor of this size; at rest it cools four times slower. Common practice, no source. */
const HEATING_MS = 20 * 60_000;
const COOLING_MS = 4 * HEATING_MS;
const OVERLOAD_FACTOR = 1.05;

/** How warm a motor's replica is after some looks; null where current or plate is not known. */
export function warmthAfter(
  warmth: Ratio | null,
  glimpses: readonly Glimpse[],
  ratedCurrentA: number | undefined,
): Ratio | null {
  if (ratedCurrentA === undefined) return null;
  const design: ThermalDesign = {
    ratedCurrent: amperes(ratedCurrentA),
    overloadFactor: OVERLOAD_FACTOR,
    heatingTime: milliseconds(HEATING_MS),
    coolingTime: milliseconds(COOLING_MS),
  };
  return glimpses.reduce<Ratio | null>((before, { isRunning, values }) => {
    const current = isRunning === true ? values.get('motor-current') : isRunning === false ? 0 : undefined;
    // What is not known neither warms nor cools: the replica waits.
    if (current === undefined) return before;
    const load = { current: amperes(Math.max(0, current)), time: milliseconds(GLIMPSE_MS) };
    return thermalReplica(before ?? ratio(0), load, design);
  }, warmth);
}
