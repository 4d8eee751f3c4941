import { fanLaws } from '../calc/condition/fan-laws.ts';
import { legSpeed } from '../calc/condition/leg-speed.ts';
import { unbalanceDerating } from '../calc/condition/unbalance-derating.ts';
import { VIBRATION_LIMITS, vibrationZone } from '../calc/condition/vibration-zone.ts';
import { windingMargin, type InsulationClass } from '../calc/condition/winding-margin.ts';
import {
  celsius,
  millimetresPerSecond,
  ratio,
  revolutionsPerMinute,
  type Celsius,
  type MillimetresPerSecond,
  type Ratio,
} from '../calc/units.ts';
import type { MachineCheck, Verdict } from '../contract/machine-health.ts';
import type { ServiceEntry } from '../contract/machine-settings.ts';

/** NEMA MG-1: 1 % is free, above 5 % a motor must not run. */
const VOLTAGE_UNBALANCE = { watchFrom: 0.01, actFrom: 0.05 };
/** That of the currents is six to ten times as large; six is the careful reading. */
const CURRENT_UNBALANCE = { watchFrom: 0.06, actFrom: 0.3 };
/** Ten degrees halve the life of insulation: the last ten are watched. */
const WINDING_WATCH_K = 10;
/** V-belts lose up to 2 %; watch from 4, act from 8 (common practice, no source). */
const BELT_SLIP = { watchFrom: 0.04, actFrom: 0.08 };
/** A leg is warned of at half of what its switch must trip at: 29 CFR 1910.272(q). */
const LEG_DROP = { watchFrom: 0.1, actFrom: 0.2 };
/** How far a fan's pressure may lie from what its speed and the air ask for. Default of this project. */
const FAN_LAW = { watchFrom: 0.1, actFrom: 0.25 };
const WARMTH = { watchFrom: 0.9, actFrom: 1 };
/** The last tenth of a service interval is time to plan it. */
const SERVICE_WATCH_SHARE = 0.9;

type VibrationGroup = keyof typeof VIBRATION_LIMITS;

/** The zone of ISO 10816-3 as the check of a group: C is watched, D is acted on. */
export function vibrationCheck(velocity: MillimetresPerSecond, group: VibrationGroup): MachineCheck {
  const limits = VIBRATION_LIMITS[group];
  const zone = vibrationZone(velocity, limits);
  const verdict: Verdict = zone === 'D' ? 'act' : zone === 'C' ? 'watch' : 'good';
  const range = { watchFrom: limits.bc, actFrom: limits.cd };
  return { check: 'vibration-zone', verdict, value: velocity, ...range, unit: 'mm/s', detail: zone };
}

export function currentUnbalanceCheck(unbalance: Ratio): MachineCheck {
  return judged('current-unbalance', unbalance, CURRENT_UNBALANCE);
}

/** Says beside the verdict which part of its rated power the motor may still give. */
export function voltageUnbalanceCheck(unbalance: Ratio): MachineCheck {
  const factor = unbalanceDerating(unbalance);
  const detail = factor === null ? 'must not run' : `derated to ${factor.toFixed(2)}`;
  return { ...judged('voltage-unbalance', unbalance, VOLTAGE_UNBALANCE), detail };
}

export function windingCheck(temperature: Celsius, insulation: InsulationClass): MachineCheck {
  const limit = temperature + windingMargin(temperature, insulation);
  const range = { watchFrom: limit - WINDING_WATCH_K, actFrom: limit };
  return { ...judged('winding-margin', temperature, range), unit: 'degC', detail: insulation };
}

/** Warmth of the thermal replica: at 1 the motor's relay trips. */
export function warmthCheck(warmth: Ratio): MachineCheck {
  return judged('thermal-warmth', warmth, WARMTH);
}

/** Slip beyond what the belt lost when it was well. */
export function beltSlipCheck(speedRatio: Ratio, healthyRatio: Ratio): MachineCheck {
  return judged('belt-slip', 1 - speedRatio / healthyRatio, BELT_SLIP);
}

/** Drop of a leg's speed against its healthy one. It stops nothing: the leg's own switch does. */
export function legSpeedCheck(speed: number, healthySpeed: number): MachineCheck {
  const { drop, state } = legSpeed(revolutionsPerMinute(speed), revolutionsPerMinute(healthySpeed), {
    warningDrop: ratio(LEG_DROP.watchFrom),
    tripDrop: ratio(LEG_DROP.actFrom),
  });
  const verdict: Verdict = state === 'trip-due' ? 'act' : state === 'slow' ? 'watch' : 'good';
  return { check: 'leg-speed', verdict, value: drop, ...LEG_DROP, unit: '1', detail: state };
}

/**
 * How far a fan's pressure lies from the fan laws, by its healthy pressure at another speed and air density: what is left
 * is no matter of speed or weather, a filter has loaded or a damper moved.
 */
export function fanLawCheck(
  now: { readonly pressure: number; readonly speed: number; readonly density: number },
  healthy: { readonly pressure: number; readonly speed: number; readonly density: number },
): MachineCheck {
  const law = fanLaws({
    speed: ratio(now.speed / healthy.speed),
    density: ratio(now.density / healthy.density),
  });
  const deviation = now.pressure / (healthy.pressure * law.pressure) - 1;
  return judged('fan-law-pressure', Math.abs(deviation), FAN_LAW);
}

/** What of a machine's service is due, by hours run and starts since it was last done. */
export function serviceChecks(
  service: ServiceEntry,
  since: { readonly runHours: number; readonly starts: number },
): readonly MachineCheck[] {
  const checks: MachineCheck[] = [];
  const add = (check: 'service-hours' | 'service-starts', value: number, every: number | undefined) => {
    if (every === undefined) return;
    const range = { watchFrom: SERVICE_WATCH_SHARE * every, actFrom: every };
    const unit = check === 'service-hours' ? 'h' : 'count';
    checks.push({ ...judged(check, value, range), unit, detail: service.task });
  };
  add('service-hours', since.runHours, service.everyRunHours);
  add('service-starts', since.starts, service.everyStarts);
  return checks;
}

function judged(
  check: MachineCheck['check'],
  value: number,
  range: { readonly watchFrom: number; readonly actFrom: number },
): MachineCheck {
  const verdict: Verdict = value >= range.actFrom ? 'act' : value >= range.watchFrom ? 'watch' : 'good';
  return { check, verdict, value, ...range, unit: '1', detail: null };
}

export interface CheckedMachine {
  readonly values: ReadonlyMap<string, number>;
  readonly insulation: InsulationClass | null;
  readonly vibrationGroup: VibrationGroup | null;
  /** What belt and leg were while the machine was well; null before it was learnt. */
  readonly healthyBeltRatio: number | null;
  readonly isLeg: boolean;
}

/** Every check that can be made from what is measured at one instant of running. */
export function checksNow(machine: CheckedMachine): readonly MachineCheck[] {
  const { values, insulation, vibrationGroup, healthyBeltRatio } = machine;
  const checks: MachineCheck[] = [];
  const has = (signal: string, make: (value: number) => MachineCheck) => {
    const value = values.get(signal);
    if (value !== undefined && value >= 0) checks.push(make(value));
  };
  if (vibrationGroup !== null)
    has('vibration', (value) => vibrationCheck(millimetresPerSecond(value), vibrationGroup));
  has('current-unbalance', (value) => currentUnbalanceCheck(ratio(value)));
  if (insulation !== null) has('winding-temperature', (value) => windingCheck(celsius(value), insulation));
  if (healthyBeltRatio === null) return checks;
  if (machine.isLeg) has('belt-ratio', (value) => legSpeedCheck(value, healthyBeltRatio));
  else has('belt-ratio', (value) => beltSlipCheck(ratio(value), ratio(healthyBeltRatio)));
  return checks;
}
