import type { Finding } from '#server/contract/machine-health.ts';
import { learnFleet, type LearntMachine } from '#server/machines/learn-machine.ts';
import { NO_MACHINES_YET, stepMachines, type MachinesState } from '#server/machines/step-machines.ts';
import type { ConditionPoint } from '#server/machines/step-point.ts';
import type { DemoMachines } from './demo-machines.ts';
import type { LifeWindow } from './life-points.ts';

/** One look at a finding: at its opening, and every half day while it stands. */
export interface SeenFinding {
  readonly timeMs: number;
  readonly finding: Finding;
}

/** Learns from a healthy time, then watches, with one set of sensors. */
export interface Watcher {
  learnFrom(window: LifeWindow): void;
  watch(window: LifeWindow): void;
  /** When findings were opened, by machine. */
  openings(machine: string): readonly number[];
  seen(machine: string): readonly SeenFinding[];
  /** Hours of running that were watched, over all machines. */
  watchedHours(): number;
}

const LOOK_MS = 86_400_000 / 2;
const POINTS_PER_HOUR = 6;

export function watcher(demo: DemoMachines): Watcher {
  const plans = demo.machines.map(({ plan }) => plan);
  const healthy = new Map<string, ConditionPoint[]>();
  const openings = new Map<string, number[]>();
  const seen = new Map<string, SeenFinding[]>();
  const looked = new Map<string, number>();
  let learnt: ReadonlyMap<string, LearntMachine> | null = null;
  let state: MachinesState = NO_MACHINES_YET;
  let points = 0;

  const note = (machine: string, finding: Finding | null, timeMs: number): void => {
    const lookedMs = looked.get(machine);
    if (finding === null) {
      looked.delete(machine);
      return;
    }
    if (lookedMs === undefined) push(openings, machine, timeMs);
    if (lookedMs !== undefined && timeMs - lookedMs < LOOK_MS) return;
    push(seen, machine, { timeMs, finding });
    looked.set(machine, timeMs);
  };

  return {
    learnFrom(window) {
      for (const [machine, point] of window.points) push(healthy, machine, point);
    },
    watch(window) {
      learnt ??= learnFleet(healthy, plans);
      state = stepMachines(state, window.points, { plans, learnt, causes: demo.causes });
      points += window.points.size;
      for (const [machine, { finding }] of state.machines) note(machine, finding, window.timeMs);
    },
    openings: (machine) => openings.get(machine) ?? [],
    seen: (machine) => seen.get(machine) ?? [],
    watchedHours: () => points / POINTS_PER_HOUR,
  };
}

function push<Value>(lists: Map<string, Value[]>, key: string, value: Value): void {
  const list = lists.get(key);
  if (list === undefined) lists.set(key, [value]);
  else list.push(value);
}

const REDUCED_INFLUENCES = ['load', 'load-past'];

/** The same window as a plant sees it that has a run contact and one current of each machine, and an intake scale. */
export function reducedWindow({ timeMs, points }: LifeWindow): LifeWindow {
  const reduced = new Map<string, ConditionPoint>();
  for (const [machine, point] of points) {
    const current = point.signals.get('motor-current');
    if (current === undefined) continue;
    const influences = new Map([...point.influences].filter(([name]) => REDUCED_INFLUENCES.includes(name)));
    reduced.set(machine, { ...point, influences, signals: new Map([['motor-current', current]]) });
  }
  return { timeMs, points: reduced };
}
