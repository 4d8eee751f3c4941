import { medianOf } from '../calc/statistics/median-of.ts';
import { blockSpread, type BlockSpread } from './block-spread.ts';
import { fleetShift } from './fleet-shift.ts';
import { learnBaseline, type Baseline } from './learn-baseline.ts';
import { residualOf } from './residual-of.ts';
import type { MachinePlan, SignalPlan } from './signal-plan.ts';
import { blocksOf, type Block } from './step-block.ts';
import type { ConditionPoint } from './step-point.ts';

/** What is known of one signal of one machine after learning. */
export interface LearntSignal {
  readonly baseline: Baseline;
  readonly spread: BlockSpread;
  /** How much of what all machines have in common this one shows; 0 where nothing is common. */
  readonly shared: number;
  /** What the signal usually is: turns a limit of the value into one of the deviation. */
  readonly usual: number;
}

/** By signal; a signal that could not be learnt is not there. */
export type LearntMachine = ReadonlyMap<string, LearntSignal>;

/** By how much a signal moved on all machines at once, by window. */
export type Shifts = ReadonlyMap<string, ReadonlyMap<number, number>>;

export const WINDOW_MS = 600_000;

/** The window of an instant: what happened in the same one can be compared across machines. */
export function windowOf(timeMs: number): number {
  return Math.floor(timeMs / WINDOW_MS);
}

/** Learns one machine from points of its healthy period; `shifts` is what the others have in common meanwhile. */
export function learnMachine(
  points: readonly ConditionPoint[],
  plan: MachinePlan,
  shifts: Shifts,
): LearntMachine {
  const learnt = new Map<string, LearntSignal>();
  for (const signal of plan.signals) {
    const baseline = learnBaseline(points, signal);
    if (baseline === null) continue;
    const residuals = residualsOf(baseline, points, signal);
    if (residuals.length === 0) continue;
    const shift = signal.isShared ? shifts.get(signal.signal) : undefined;
    const shared = shift === undefined ? 0 : sharedPart(residuals, shift);
    const own = residuals.map(({ timeMs, value }) => ({
      timeMs,
      value: value - shared * (shift?.get(windowOf(timeMs)) ?? 0),
    }));
    const usual = medianOf([...baseline.groups.values()].map(({ coefficients }) => coefficients[0] ?? 0));
    learnt.set(signal.signal, {
      baseline,
      shared,
      usual,
      spread: blockSpread(blocksOf(own), signal.smallest),
    });
  }
  return learnt;
}

/** Learns many machines from the same healthy time: each alone first, then what they have in common is taken off. */
export function learnFleet(
  points: ReadonlyMap<string, readonly ConditionPoint[]>,
  plans: readonly MachinePlan[],
): ReadonlyMap<string, LearntMachine> {
  const shifts = shiftsOf(points, plans);
  return new Map(
    plans.map((plan) => [plan.machine, learnMachine(points.get(plan.machine) ?? [], plan, shifts)] as const),
  );
}

/** What all machines had in common in each window, from residuals of baselines learnt on the same points. */
export function shiftsOf(
  points: ReadonlyMap<string, readonly ConditionPoint[]>,
  plans: readonly MachinePlan[],
): Shifts {
  const together = new Map<string, Map<number, number[]>>();
  for (const { machine, signals } of plans) {
    for (const plan of signals.filter(({ isShared }) => isShared)) {
      const own = points.get(machine) ?? [];
      const baseline = learnBaseline(own, plan);
      if (baseline !== null) collect(together, plan.signal, residualsOf(baseline, own, plan));
    }
  }
  return new Map([...together].map(([signal, windows]) => [signal, middles(windows)] as const));
}

function collect(
  together: Map<string, Map<number, number[]>>,
  signal: string,
  residuals: readonly Block[],
): void {
  const windows = together.get(signal) ?? new Map<number, number[]>();
  together.set(signal, windows);
  for (const { timeMs, value } of residuals) {
    const window = windowOf(timeMs);
    const values = windows.get(window);
    if (values === undefined) windows.set(window, [value]);
    else values.push(value);
  }
}

function middles(windows: ReadonlyMap<number, readonly number[]>): ReadonlyMap<number, number> {
  const shifts = new Map<number, number>();
  for (const [window, values] of windows) {
    const shift = fleetShift(values);
    if (shift !== null) shifts.set(window, shift);
  }
  return shifts;
}

function residualsOf(
  baseline: Baseline,
  points: readonly ConditionPoint[],
  plan: SignalPlan,
): readonly Block[] {
  return points.flatMap((point) => {
    const residual = residualOf(baseline, point, plan);
    return residual.known ? [{ timeMs: point.timeMs, value: residual.value }] : [];
  });
}

/** Before anything is known a machine is taken to show all of what is common; this is how far that may be wrong. */
const PRIOR_DEVIATION = 0.3;
/** Points ten minutes apart tell about a tenth of what independent ones would. */
const LEANING = 10;

/** The slope of own residuals over the common shift, drawn towards 1 where the healthy period hardly had any shift. */
function sharedPart(residuals: readonly Block[], shift: ReadonlyMap<number, number>): number {
  let [products, squares, count, own] = [0, 0, 0, 0];
  for (const { timeMs, value } of residuals) {
    const common = shift.get(windowOf(timeMs));
    if (common === undefined) continue;
    products += common * value;
    squares += common * common;
    own += value * value;
    count += 1;
  }
  if (count === 0) return 0;
  const unit = (LEANING * own) / count;
  const prior = 1 / PRIOR_DEVIATION ** 2;
  return unit === 0 ? 1 : (products / unit + prior) / (squares / unit + prior);
}
