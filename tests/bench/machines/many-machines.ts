import type { MachinePlan } from '#server/machines/signal-plan.ts';
import type { ConditionPoint } from '#server/machines/step-point.ts';
import { driveLife } from '#simulator/life/drive-life.ts';
import type { DemoMachines } from './demo-machines.ts';
import { lifePoints } from './life-points.ts';

/** As many machines as are asked for, each a month of one life's machines under a name of its own. */
export function manyMachines(
  demo: DemoMachines,
  asked: { readonly seed: number; readonly days: number; readonly machines: number },
): {
  readonly plans: readonly MachinePlan[];
  readonly points: ReadonlyMap<string, readonly ConditionPoint[]>;
} {
  const life = driveLife({ seed: asked.seed, stepS: 60, declines: [] });
  const lived = new Map<string, ConditionPoint[]>();
  for (const window of lifePoints(life, demo, asked.days)) {
    for (const [machine, point] of window.points)
      lived
        .set(machine, lived.get(machine) ?? [])
        .get(machine)
        ?.push(point);
  }
  const named = Array.from({ length: asked.machines }, (_, index) => {
    const own = demo.machines[index % demo.machines.length];
    return own === undefined
      ? []
      : [{ ...own.plan, machine: `${own.plan.machine}-${index}`, from: own.plan.machine }];
  }).flat();
  return {
    plans: named,
    points: new Map(named.map(({ machine, from }) => [machine, lived.get(from) ?? []] as const)),
  };
}
