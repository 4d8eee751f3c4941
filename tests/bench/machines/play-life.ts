import type { ConditionPoint } from '#server/machines/step-point.ts';
import { driveLife } from '#simulator/life/drive-life.ts';
import { HEALTHY_DAYS, type PlayedDecline } from './declines.ts';
import type { DemoMachines } from './demo-machines.ts';
import { fixedLimits, type FixedLimits } from './fixed-limits.ts';
import { handRound, type HandRound } from './hand-round.ts';
import { lifePoints } from './life-points.ts';
import { reducedWindow, watcher, type Watcher } from './watcher.ts';

/** One life as each set of sensors saw it, and as plain fixed limits would have. */
export interface PlayedLife {
  readonly everything: Watcher;
  readonly oneCurrent: Watcher;
  readonly byHand: HandRound;
  readonly fixed: FixedLimits;
}

export interface LifeOptions {
  readonly seed: number;
  readonly days: number;
  readonly declines: readonly PlayedDecline[];
}

export interface Demos {
  readonly everything: DemoMachines;
  readonly oneCurrent: DemoMachines;
}

const STEP_S = 60;
export const HEALTHY_MS = HEALTHY_DAYS * 86_400_000;

/** Two weeks of healthy learning, then watching to the end of the life. */
export function playLife({ seed, days, declines }: LifeOptions, demos: Demos): PlayedLife {
  const life = driveLife({ seed, stepS: STEP_S, declines: declines.map(({ decline }) => decline) });
  const [everything, oneCurrent] = [watcher(demos.everything), watcher(demos.oneCurrent)];
  const byHand = handRound(seed);
  const healthy = new Map<string, ConditionPoint[]>();
  let fixed: FixedLimits | null = null;
  for (const window of lifePoints(life, demos.everything, days)) {
    byHand.take(window);
    if (window.timeMs <= HEALTHY_MS) {
      everything.learnFrom(window);
      oneCurrent.learnFrom(reducedWindow(window));
      for (const [machine, point] of window.points)
        healthy
          .set(machine, healthy.get(machine) ?? [])
          .get(machine)
          ?.push(point);
      continue;
    }
    fixed ??= fixedLimits(healthy);
    everything.watch(window);
    oneCurrent.watch(reducedWindow(window));
    fixed.watch(window.timeMs, window.points);
  }
  return { everything, oneCurrent, byHand, fixed: fixed ?? fixedLimits(healthy) };
}
