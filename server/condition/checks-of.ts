import { airDensityRatio } from '../calc/condition/air-density-ratio.ts';
import { celsius, pascals, type Ratio } from '../calc/units.ts';
import type { MachineCheck } from '../contract/machine-health.ts';
import type { MachineEntry } from '../contract/machine-settings.ts';
import type { LearntMachine } from '../machines/learn-machine.ts';
import { checksNow, fanLawCheck, serviceChecks, warmthCheck } from '../machines/physics-checks.ts';
import type { Glimpse } from '../machines/step-point.ts';

/** What counters of a machine stood at when it was last serviced; 0 when nobody ever said so. */
export interface Serviced {
  readonly runHours: number;
  readonly starts: number;
}

export interface CheckedNow {
  readonly entry: MachineEntry;
  readonly glimpse: Glimpse | null;
  readonly learnt: LearntMachine | null;
  readonly warmth: Ratio | null;
  readonly serviced: Serviced;
}

/** Everything that known physics and the service plan say of a machine now. */
export function checksOf(now: CheckedNow): MachineCheck[] {
  const { entry, glimpse, learnt, warmth } = now;
  if (glimpse?.isRunning !== true) return [];
  const checks = checksNow({
    values: glimpse.values,
    insulation: entry.insulation ?? null,
    vibrationGroup: entry.vibrationGroup ?? null,
    healthyBeltRatio: learnt?.get('belt-ratio')?.usual ?? null,
    isLeg: entry.kind === 'elevator',
  });
  return [
    ...checks,
    ...(warmth === null ? [] : [warmthCheck(warmth)]),
    ...fanCheck(glimpse, learnt),
    ...serviceOf(now, glimpse),
  ];
}

/** Cancels out: only how density changed since the healthy period counts, and weather moves pressure little. */
const PRESSURE = pascals(101_325);

/** Where the ambient is not measured the air is taken to be as it was. */
function fanCheck({ values, influences }: Glimpse, learnt: LearntMachine | null): MachineCheck[] {
  const [pressure, speed] = [values.get('fan-pressure'), values.get('motor-speed')];
  const [healthy, healthySpeed] = [learnt?.get('fan-pressure'), learnt?.get('motor-speed')];
  if (pressure === undefined || speed === undefined) return [];
  if (healthy === undefined || healthySpeed === undefined) return [];
  const learntAmbient = [...healthy.baseline.groups.values()]
    .flatMap((group) => group.influences)
    .find(({ name }) => name === 'ambient')?.middle;
  const ambient = influences.get('ambient');
  const isKnown = ambient !== undefined && learntAmbient !== undefined;
  const density = isKnown ? densityAt(ambient) / densityAt(learntAmbient) : 1;
  const now = { pressure, speed, density };
  return [fanLawCheck(now, { pressure: healthy.usual, speed: healthySpeed.usual, density: 1 })];
}

function densityAt(ambientC: number): number {
  return airDensityRatio(celsius(ambientC), PRESSURE);
}

function serviceOf({ entry, serviced }: CheckedNow, { values }: Glimpse): MachineCheck[] {
  const [runHours, starts] = [values.get('run-hours'), values.get('starts')];
  if (runHours === undefined) return [];
  const since = {
    runHours: Math.max(0, runHours - serviced.runHours),
    starts: Math.max(0, (starts ?? 0) - serviced.starts),
  };
  return (entry.service ?? []).flatMap((service) => [...serviceChecks(service, since)]);
}
