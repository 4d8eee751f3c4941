import { medianOf } from '../calc/statistics/median-of.ts';
import { robustFit } from './robust-fit.ts';
import type { SignalPlan } from './signal-plan.ts';
import type { ConditionPoint } from './step-point.ts';

/** How one signal of one machine behaves while it is well, for one setting of the machine. */
export interface GroupBaseline {
  /** What the signal is at the middle of the influences; then its change with each of them, in steps of its spread. */
  readonly coefficients: readonly number[];
  readonly influences: readonly LearntInfluence[];
  /** Spread of one point about the baseline, in the signal's unit. */
  readonly deviation: number;
  readonly points: number;
}

export interface LearntInfluence {
  readonly name: string;
  readonly middle: number;
  readonly spread: number;
  readonly low: number;
  readonly high: number;
}

/** A signal's baseline: one for each group that was seen long enough in the healthy period. */
export interface Baseline {
  readonly signal: string;
  readonly fromMs: number;
  readonly toMs: number;
  readonly groups: ReadonlyMap<string, GroupBaseline>;
}

/** Fewer points cannot tell load from chance. */
const POINTS_MIN = 36;

/**
 * What is normal for a signal at each load, ambient and voltage, from points of a healthy period; null when no group
 * was seen long enough. Outliers take no part.
 */
export function learnBaseline(points: readonly ConditionPoint[], plan: SignalPlan): Baseline | null {
  const byGroup = new Map<string, ConditionPoint[]>();
  for (const point of points) {
    if (!point.signals.has(plan.signal)) continue;
    const known = byGroup.get(point.group);
    if (known === undefined) byGroup.set(point.group, [point]);
    else known.push(point);
  }
  const groups = new Map<string, GroupBaseline>();
  for (const [group, own] of byGroup) {
    if (own.length >= POINTS_MIN) groups.set(group, learntGroup(own, plan));
  }
  const [first] = points;
  if (groups.size === 0 || first === undefined) return null;
  return { signal: plan.signal, fromMs: first.timeMs, toMs: points.at(-1)?.timeMs ?? first.timeMs, groups };
}

function learntGroup(points: readonly ConditionPoint[], plan: SignalPlan): GroupBaseline {
  const named = plan.explainedBy.filter((name) => points.every((point) => influenceAt(point, name) !== null));
  const influences = named.map((name) => learntInfluence(points, name)).filter(({ spread }) => spread > 0);
  const rows = points.map((point) => [1, ...influences.map((influence) => scaled(point, influence))]);
  const values = points.map(({ signals }) => signals.get(plan.signal) ?? 0);
  const { coefficients, deviation } = robustFit(rows, values);
  return { coefficients, influences, deviation, points: points.length };
}

/** An influence by its name in the plan; null where the point does not tell. */
export function influenceAt({ influences }: ConditionPoint, name: string): number | null {
  if (!name.endsWith('-squared')) return influences.get(name) ?? null;
  const value = influences.get(name.slice(0, -'-squared'.length));
  return value === undefined ? null : value * value;
}

/** How far an influence is from its middle, in steps of its spread. */
export function scaled(point: ConditionPoint, { name, middle, spread }: LearntInfluence): number {
  return ((influenceAt(point, name) ?? middle) - middle) / spread;
}

function learntInfluence(points: readonly ConditionPoint[], name: string): LearntInfluence {
  const values = points.map((point) => influenceAt(point, name) ?? 0);
  const sorted = Float64Array.from(values).sort();
  const at = (share: number) => sorted[Math.round(share * (sorted.length - 1))] ?? 0;
  const middle = medianOf(values);
  return { name, middle, spread: (at(0.9) - at(0.1)) / 2, low: at(0.01), high: at(0.99) };
}
