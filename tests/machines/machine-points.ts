import type { MachinePlan, SignalPlan } from '#server/machines/signal-plan.ts';
import type { ConditionPoint } from '#server/machines/step-point.ts';
import { randomStream } from '#simulator/physics/random.ts';

export const DAY_MS = 86_400_000;
export const TEN_MINUTES_MS = 600_000;

/** A current that load explains, judged as a share. */
export const CURRENT: SignalPlan = {
  signal: 'motor-current',
  residual: 'ratio',
  explainedBy: ['load'],
  settleMs: TEN_MINUTES_MS,
  smallest: 0.03,
  isShared: true,
  limits: { deviationHigh: 0.2, deviationLow: -0.2, valueHigh: null },
};

export const FAN: MachinePlan = { machine: 'fan', kind: 'fan', signals: [CURRENT] };

export interface PointsOptions {
  readonly seed: number;
  readonly count: number;
  readonly fromMs?: number;
  /** What the current is more than it should be, as a share, by the index of the point. */
  readonly more?: (index: number) => number;
  readonly noise?: number;
}

/** Points of a motor that takes 6 A and 0.5 A more for each t/h, at a load that wanders between 8 and 14 t/h. */
export function currentPoints(options: PointsOptions): readonly ConditionPoint[] {
  const { seed, count, fromMs = 0, more = () => 0, noise = 0.005 } = options;
  const random = randomStream(seed, 'points');
  return Array.from({ length: count }, (_, index) => {
    const load = 11 + 3 * Math.sin(index / 7) * random.uniform();
    const current = (6 + 0.5 * load) * (1 + more(index) + noise * random.normal());
    return {
      timeMs: fromMs + index * TEN_MINUTES_MS,
      group: 'wheat',
      influences: new Map([['load', load]]),
      signals: new Map([['motor-current', current]]),
    };
  });
}
