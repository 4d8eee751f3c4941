import type { Ratio } from '../calc/units.ts';
import type { Finding } from '../contract/machine-health.ts';
import type { MachineBaseline, SignalBaseline } from '../contract/machine-records.ts';
import type { MachineEntry, MachineSettings } from '../contract/machine-settings.ts';
import type { CommonShift } from '../contract/machine-standing.ts';
import {
  learnMachine,
  shiftsOf,
  WINDOW_MS,
  windowOf,
  type LearntMachine,
} from '../machines/learn-machine.ts';
import type { CauseRow } from '../machines/likely-causes.ts';
import {
  commonShifts,
  NO_MACHINES_YET,
  stepMachines,
  type MachinesState,
} from '../machines/step-machines.ts';
import {
  NO_POINT_YET,
  stepPoint,
  type ConditionPoint,
  type Glimpse,
  type PointState,
} from '../machines/step-point.ts';
import type { WatchedMachine } from '../machines/watched-machine.ts';
import type { Serviced } from './checks-of.ts';
import { warmthAfter } from './kept-warmth.ts';
import { glimpsesOf, type RecordedStretch } from './recorded-stretch.ts';
import { storedSignals, learntFrom } from './stored-baseline.ts';

export interface KeptMachine {
  readonly machine: WatchedMachine;
  readonly baseline: MachineBaseline | null;
  readonly learnt: LearntMachine | null;
  readonly points: readonly ConditionPoint[];
  readonly lastGlimpse: Glimpse | null;
  readonly runningSinceMs: number | null;
  /** Of the motor's thermal replica; null where current or plate is not known. */
  readonly warmth: Ratio | null;
  readonly serviced: Serviced;
}

/** A finding that was opened, says something new, or is over. */
export interface FindingNews {
  readonly machine: string;
  readonly timeMs: number;
  readonly what: 'opened' | 'changed' | 'closed';
  readonly finding: Finding | null;
}

/** A month of two shifts a day. */
const POINTS_MAX = 3000;

interface Kept {
  readonly machine: WatchedMachine;
  baseline: MachineBaseline | null;
  learnt: LearntMachine | null;
  points: ConditionPoint[];
  state: PointState;
  lastGlimpse: Glimpse | null;
  warmth: Ratio | null;
  serviced: Serviced;
  readonly ratedCurrentA: number | undefined;
}

interface Gathered {
  readonly points: ConditionPoint[];
  state: PointState;
}

/** Keeps how all machines have gone on; lives in the thread, and is the only thing there that changes. */
export class MachineKeeper {
  readonly #kept: ReadonlyMap<string, Kept>;
  readonly #causes: readonly CauseRow[];
  #state: MachinesState = NO_MACHINES_YET;
  #gathered = new Map<string, Gathered>();

  constructor(machines: readonly WatchedMachine[], settings: MachineSettings) {
    this.#causes = settings.causes.map((row) => ({
      ...row,
      supports: row.supports ?? {},
      leaves: row.leaves ?? [],
    }));
    this.#kept = new Map(
      machines.map((machine) => {
        const id = machine.plan.machine;
        return [
          id,
          fresh(
            machine,
            settings.machines.find((entry) => entry.id === id),
          ),
        ] as const;
      }),
    );
  }

  /** What a machine's counters stood at when it was last serviced. */
  serviced(machine: string, counters: Serviced): void {
    const kept = this.#kept.get(machine);
    if (kept !== undefined) kept.serviced = counters;
  }

  /** From its time on a baseline counts; what was found against an older one is over. */
  use(baseline: MachineBaseline): void {
    const kept = this.#kept.get(baseline.machine);
    if (kept === undefined) return;
    kept.baseline = baseline;
    kept.learnt = learntFrom(baseline);
    const machines = new Map(this.#state.machines);
    machines.delete(baseline.machine);
    this.#state = { ...this.#state, machines };
  }

  /** Takes in a stretch of recorded time, window by window. */
  take(stretch: RecordedStretch): readonly FindingNews[] {
    const glimpses = new Map(
      [...this.#kept].map(([id, { machine }]) => [id, glimpsesOf(stretch, machine)] as const),
    );
    const news: FindingNews[] = [];
    for (let fromMs = stretch.fromMs; fromMs < stretch.toMs; fromMs += WINDOW_MS) {
      const points = new Map<string, ConditionPoint>();
      for (const [id, kept] of this.#kept) {
        const own = (glimpses.get(id) ?? []).filter(
          ({ timeMs }) => timeMs >= fromMs && timeMs < fromMs + WINDOW_MS,
        );
        const point = taken(kept, own);
        if (point !== null) points.set(id, point);
      }
      news.push(...this.#step(points, fromMs + WINDOW_MS));
    }
    return news;
  }

  #step(points: ReadonlyMap<string, ConditionPoint>, timeMs: number): readonly FindingNews[] {
    const before = this.#state.machines;
    const learnt = new Map<string, LearntMachine>();
    for (const [id, kept] of this.#kept) {
      // A baseline says nothing about the time before it was made.
      if (kept.learnt !== null && (kept.baseline?.timeMs ?? Infinity) <= timeMs) learnt.set(id, kept.learnt);
    }
    const plans = [...this.#kept.values()].map(({ machine }) => machine.plan);
    this.#state = stepMachines(this.#state, points, { plans, learnt, causes: this.#causes });
    return [...this.#state.machines].flatMap(([machine, { finding }]) => {
      const what = newsOf(before.get(machine)?.finding ?? null, finding);
      return what === null ? [] : [{ machine, timeMs, what, finding }];
    });
  }

  /** Takes in a stretch of a healthy period, to learn from it afterwards; nothing that is watched changes. */
  gather(stretch: RecordedStretch, isFirst: boolean): void {
    if (isFirst) this.#gathered = new Map();
    for (const [id, { machine }] of this.#kept) {
      const gathered = this.#gathered.get(id) ?? { points: [], state: NO_POINT_YET };
      this.#gathered.set(id, gathered);
      addPoints(gathered, machine, stretch);
    }
  }

  /** Learns a machine from what was gathered. */
  learn(machine: string): SignalBaseline[] {
    const own = this.#kept.get(machine)?.machine.plan;
    if (own === undefined) return [];
    const points = new Map([...this.#gathered].map(([id, gathered]) => [id, gathered.points] as const));
    const plans = [...this.#kept.values()].map((kept) => kept.machine.plan);
    const learnt = learnMachine(points.get(machine) ?? [], own, shiftsOf(points, plans));
    this.#gathered = new Map();
    return storedSignals(learnt);
  }

  machines(): readonly KeptMachine[] {
    return [...this.#kept.values()].map(({ state, ...kept }) => ({
      ...kept,
      runningSinceMs: state.runningSinceMs,
    }));
  }

  state(): MachinesState {
    return this.#state;
  }

  common(): CommonShift[] {
    return [...commonShifts(this.#state)];
  }
}

function fresh(machine: WatchedMachine, entry: MachineEntry | undefined): Kept {
  return {
    machine,
    baseline: null,
    learnt: null,
    points: [],
    state: NO_POINT_YET,
    lastGlimpse: null,
    warmth: null,
    serviced: { runHours: 0, starts: 0 },
    ratedCurrentA: entry?.ratedCurrentA,
  };
}

function taken(kept: Kept, glimpses: readonly Glimpse[]): ConditionPoint | null {
  const [state, point] = stepPoint(kept.state, glimpses, kept.machine.plan);
  kept.state = state;
  kept.lastGlimpse = glimpses.at(-1) ?? kept.lastGlimpse;
  kept.warmth = warmthAfter(kept.warmth, glimpses, kept.ratedCurrentA);
  if (point === null) return null;
  kept.points.push(point);
  if (kept.points.length > POINTS_MAX) kept.points = kept.points.slice(-POINTS_MAX);
  return point;
}

function addPoints(gathered: Gathered, machine: WatchedMachine, stretch: RecordedStretch): void {
  const byWindow = Map.groupBy(glimpsesOf(stretch, machine), ({ timeMs }) => windowOf(timeMs));
  for (const glimpses of byWindow.values()) {
    const [state, point] = stepPoint(gathered.state, glimpses, machine.plan);
    gathered.state = state;
    if (point !== null) gathered.points.push(point);
  }
}

/** What a finding has become; null when it says what it said before. */
export function newsOf(before: Finding | null, now: Finding | null): FindingNews['what'] | null {
  if (before === null) return now === null ? null : 'opened';
  if (now === null) return 'closed';
  return saidOf(before) === saidOf(now) ? null : 'changed';
}

/** What makes a finding another: its signals and what is thought to be behind it, not each new level. */
function saidOf({ deviations, causes }: Finding): string {
  const [first] = causes;
  const signals = deviations.map(({ signal, direction, course }) => `${signal} ${direction} ${course}`);
  return [...signals, first?.cause, first?.certainty].join();
}
