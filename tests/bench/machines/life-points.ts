import { WINDOW_MS } from '#server/machines/learn-machine.ts';
import {
  NO_POINT_YET,
  stepPoint,
  type ConditionPoint,
  type Glimpse,
  type PointState,
} from '#server/machines/step-point.ts';
import { withDerived, type WatchedMachine } from '#server/machines/watched-machine.ts';
import type { DriveLife } from '#simulator/life/drive-life.ts';
import type { DemoMachines } from './demo-machines.ts';

/** What one window of a life gave: at most one point of each machine. */
export interface LifeWindow {
  readonly timeMs: number;
  readonly points: ReadonlyMap<string, ConditionPoint>;
}

interface Watch {
  readonly machine: WatchedMachine;
  readonly values: readonly (readonly [name: string, tag: number, factor: number])[];
  readonly influences: readonly (readonly [name: string, tag: number, factor: number])[];
  state: PointState;
  glimpses: Glimpse[];
}

/** Plays a life to its end, window by window, and watches its machines through their instruments. */
export function* lifePoints(life: DriveLife, demo: DemoMachines, days: number): Generator<LifeWindow> {
  const tagOf = new Map(life.tags.map(({ node }, index) => [node, index]));
  const indexed = (named: ReadonlyMap<string, string>) =>
    [...named].flatMap(([name, tag]) => {
      const node = demo.nodeOf.get(tag) ?? '';
      const index = tagOf.get(node);
      return index === undefined ? [] : [[name, index, demo.factorOf.get(node) ?? 1] as const];
    });
  const watches: Watch[] = demo.machines.map((machine) => ({
    machine,
    values: indexed(machine.tags),
    influences: indexed(machine.influences),
    state: NO_POINT_YET,
    glimpses: [],
  }));
  let endsMs = WINDOW_MS;
  // Every other step is looked at: at 60 s that is five looks a window.
  let isLooking = false;
  while (life.timeS() < days * 86_400) {
    const timeMs = life.timeS() * 1000;
    if (timeMs >= endsMs) {
      yield { timeMs: endsMs, points: pointsOf(watches) };
      endsMs += WINDOW_MS;
    }
    life.step();
    isLooking = !isLooking;
    if (!isLooking) continue;
    for (const watch of watches) watch.glimpses.push(glimpseOf(life, watch, timeMs));
  }
}

function pointsOf(watches: readonly Watch[]): ReadonlyMap<string, ConditionPoint> {
  const points = new Map<string, ConditionPoint>();
  for (const watch of watches) {
    const { plan } = watch.machine;
    const [state, point] = stepPoint(watch.state, watch.glimpses, plan);
    watch.state = state;
    watch.glimpses = [];
    if (point !== null) points.set(plan.machine, point);
  }
  return points;
}

function glimpseOf(life: DriveLife, watch: Watch, timeMs: number): Glimpse {
  const isRunning = life.isOn();
  const read = (named: Watch['values']) =>
    new Map(
      named.flatMap(([name, tag, factor]) =>
        life.qualities[tag] === 0 ? [[name, (life.values[tag] ?? 0) * factor] as const] : [],
      ),
    );
  const values = isRunning ? withDerived(read(watch.values)) : new Map<string, number>();
  return { timeMs, isRunning, group: life.crop(), values, influences: read(watch.influences) };
}
