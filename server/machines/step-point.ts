import { medianOfSorted } from '../calc/statistics/median-of.ts';
import type { MachinePlan } from './signal-plan.ts';

/** One look at a machine. A value that is bad, stale or not measured is not there. */
export interface Glimpse {
  readonly timeMs: number;
  /** Null while the contact is not known: then nothing is concluded. */
  readonly isRunning: boolean | null;
  /** What the machine is set for, usually the crop: each has a baseline of its own. */
  readonly group: string;
  readonly values: ReadonlyMap<string, number>;
  readonly influences: ReadonlyMap<string, number>;
}

/** What a machine showed over one window of running, and what bore on it. */
export interface ConditionPoint {
  readonly timeMs: number;
  readonly group: string;
  readonly influences: ReadonlyMap<string, number>;
  readonly signals: ReadonlyMap<string, number>;
}

/**
 * What is remembered from window to window.
 *
 *     stopped --contact closes--> starting --settled, signal by signal--> running --contact opens--> stopped
 */
export interface PointState {
  readonly runningSinceMs: number | null;
  readonly lastMs: number | null;
  readonly past: ReadonlyMap<string, number>;
}

export const NO_POINT_YET: PointState = { runningSinceMs: null, lastMs: null, past: new Map() };

/** Bearings follow in ten minutes, windings in twenty-five (common practice, no source): one memory serves both. */
const PAST_TIME_MS = 20 * 60_000;
/** A hole longer than this makes the memory of the past worthless. */
const HOLE_MS_MAX = 30 * 60_000;
/** A median of fewer looks is no better than one look. */
const GLIMPSES_MIN = 3;

/**
 * The window's point, and what is remembered after it. No point while the machine stood or was started in the window,
 * or was set for something else on the way: start-ups and stops are no condition to compare with.
 */
export function stepPoint(
  state: PointState,
  glimpses: readonly Glimpse[],
  plan: MachinePlan,
): readonly [PointState, ConditionPoint | null] {
  const after = glimpses.reduce(remembered, state);
  const [first] = glimpses;
  const last = glimpses.at(-1);
  const since = after.runningSinceMs;
  if (first === undefined || last === undefined || since === null) return [after, null];
  const isSteady = glimpses.every(({ group, isRunning }) => isRunning === true && group === last.group);
  if (!isSteady || glimpses.length < GLIMPSES_MIN) return [after, null];

  const signals = new Map<string, number>();
  for (const { signal, settleMs } of plan.signals) {
    if (first.timeMs - since < settleMs) continue;
    const value = medianIn(glimpses.map(({ values }) => values.get(signal)));
    if (value !== null) signals.set(signal, value);
  }
  if (signals.size === 0) return [after, null];
  return [
    after,
    { timeMs: last.timeMs, group: last.group, influences: influencesOf(glimpses, after), signals },
  ];
}

function influencesOf(glimpses: readonly Glimpse[], { past }: PointState): ReadonlyMap<string, number> {
  const influences = new Map<string, number>();
  for (const name of glimpses.at(-1)?.influences.keys() ?? []) {
    const value = medianIn(glimpses.map((glimpse) => glimpse.influences.get(name)));
    if (value !== null) influences.set(name, value);
  }
  for (const [name, value] of past) influences.set(`${name}-past`, value);
  return influences;
}

function medianIn(values: readonly (number | undefined)[]): number | null {
  const there = values.filter((value) => value !== undefined).sort((a, b) => a - b);
  return there.length < GLIMPSES_MIN ? null : medianOfSorted(there);
}

/** A machine that stands carries no load, whatever the line does. */
function remembered(state: PointState, glimpse: Glimpse): PointState {
  const { isRunning, timeMs } = glimpse;
  const gapMs = state.lastMs === null ? Infinity : timeMs - state.lastMs;
  const runningSinceMs =
    isRunning === true ? (gapMs > HOLE_MS_MAX ? timeMs : (state.runningSinceMs ?? timeMs)) : null;
  const share = gapMs > HOLE_MS_MAX ? 1 : 1 - Math.exp(-gapMs / PAST_TIME_MS);
  const past = new Map(state.past);
  for (const [name, value] of withHeat(glimpse)) {
    const before = past.get(name) ?? value;
    past.set(name, before + (value - before) * share);
  }
  return { runningSinceMs, lastMs: timeMs, past };
}

/** Windings warm with the square of their current: what matters is what that square has been. */
function withHeat({ isRunning, influences, values }: Glimpse): ReadonlyMap<string, number> {
  const current = values.get('motor-current');
  const all = new Map(influences);
  if (current !== undefined) all.set('heat', isRunning === true ? current * current : 0);
  if (isRunning !== true && all.has('load')) all.set('load', 0);
  return all;
}
