import type { Baseline, GroupBaseline } from './learn-baseline.ts';
import { influenceAt, scaled } from './learn-baseline.ts';
import { product } from './robust-fit.ts';
import type { SignalPlan } from './signal-plan.ts';
import type { ConditionPoint } from './step-point.ts';

/** How far a signal lies from what is normal at this load, or why that cannot be said. */
export type Residual =
  | { readonly known: true; readonly value: number; readonly expected: number }
  | { readonly known: false; readonly because: 'not-measured' | 'not-learned' | 'outside-learned' };

/** A baseline may be stretched beyond what it has seen by this share of what it has seen. */
const STRETCH = 0.3;

/** The residual of one point, as a share of what was expected or in the signal's unit, as the plan says. */
export function residualOf(baseline: Baseline, point: ConditionPoint, plan: SignalPlan): Residual {
  const value = point.signals.get(plan.signal);
  if (value === undefined) return { known: false, because: 'not-measured' };
  const group = baseline.groups.get(point.group);
  if (group === undefined) return { known: false, because: 'not-learned' };
  if (!isWithinLearned(group, point)) return { known: false, because: 'outside-learned' };
  const expected = expectedAt(group, point);
  if (plan.residual === 'difference') return { known: true, value: value - expected, expected };
  // A share of next to nothing is no measure.
  if (Math.abs(expected) < 1e-9) return { known: false, because: 'outside-learned' };
  return { known: true, value: value / expected - 1, expected };
}

export function expectedAt(group: GroupBaseline, point: ConditionPoint): number {
  return product([1, ...group.influences.map((influence) => scaled(point, influence))], group.coefficients);
}

function isWithinLearned({ influences }: GroupBaseline, point: ConditionPoint): boolean {
  return influences.every(({ name, low, high, spread }) => {
    const value = influenceAt(point, name);
    const margin = STRETCH * Math.max(high - low, spread);
    return value !== null && value >= low - margin && value <= high + margin;
  });
}
