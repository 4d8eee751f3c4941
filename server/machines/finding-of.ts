import type { Direction, DueTime, Finding, SignalDeviation } from '../contract/machine-health.ts';
import { courseOf } from './course-of.ts';
import { dueTime } from './due-time.ts';
import type { LearntMachine, LearntSignal } from './learn-machine.ts';
import { likelyCauses, type CauseRow, type Evidence } from './likely-causes.ts';
import { MS_PER_DAY, type MachinePlan, type SignalPlan } from './signal-plan.ts';
import { slopeSince } from './slope-since.ts';
import { DECISION, levelMin, type DriftState } from './step-drift.ts';
import type { SignalState } from './step-signal.ts';

/** One machine as it is judged: plan, what was learnt of it, and how its signals have gone on. */
export interface JudgedMachine {
  readonly plan: MachinePlan;
  readonly learnt: LearntMachine;
  readonly signals: ReadonlyMap<string, SignalState>;
}

/** A signal that has gone half the way to a finding is a hint of the cause, and no more. */
const LEANING_SHARE = 0.5;
/** Blocks before the onset that a course is judged with. */
const BEFORE_MS = 4 * MS_PER_DAY;

/** The one notice about a machine, from all its signals; null while none of them deviates. */
export function findingOf(
  machine: JudgedMachine,
  causes: readonly CauseRow[],
  before: Finding | null,
): Finding | null {
  const deviations = machine.plan.signals.flatMap((plan) => deviationOf(machine, plan));
  const [first] = deviations;
  if (first === undefined) return null;
  const rows = causes.filter(({ kinds }) => kinds.includes(machine.plan.kind));
  const newestMs = Math.max(...[...machine.signals.values()].map(({ blocks }) => blocks.at(-1)?.timeMs ?? 0));
  return {
    machine: machine.plan.machine,
    sinceMs: Math.min(...deviations.map(({ sinceMs }) => sinceMs)),
    foundMs: before?.foundMs ?? newestMs,
    deviations,
    causes: [...likelyCauses(evidenceOf(machine), rows)],
    due: firstDue(deviations),
  };
}

function firstDue(deviations: readonly SignalDeviation[]): DueTime | null {
  const dues = deviations.flatMap(({ due }) => (due === null ? [] : [due]));
  return dues.reduce<DueTime | null>(
    (first, due) => (first === null || due.middleMs < first.middleMs ? due : first),
    null,
  );
}

function evidenceOf({ plan, learnt, signals }: JudgedMachine): ReadonlyMap<string, Evidence> {
  const evidence = new Map<string, Evidence>();
  for (const { signal, smallest } of plan.signals) {
    const state = signals.get(signal);
    const known = learnt.get(signal);
    if (state === undefined || known === undefined || state.blocks.length === 0) continue;
    evidence.set(signal, evidenceFrom(state.drift, levelMin({ ...known.spread, smallest })));
  }
  return evidence;
}

function evidenceFrom({ drifting, level, sums }: DriftState, wanted: number): Evidence {
  if (drifting !== null) return { kind: 'deviates', direction: drifting.direction };
  const isLeaning = Math.max(sums.high, sums.low) > LEANING_SHARE * DECISION;
  if (!isLeaning || Math.abs(level) < LEANING_SHARE * wanted) return { kind: 'steady' };
  return { kind: 'leans', direction: level > 0 ? 'high' : 'low' };
}

function deviationOf({ learnt, signals }: JudgedMachine, plan: SignalPlan): readonly SignalDeviation[] {
  const state = signals.get(plan.signal);
  const known = learnt.get(plan.signal);
  const drifting = state?.drift.drifting ?? null;
  if (state === undefined || known === undefined || drifting === null) return [];
  const { direction, sinceMs } = drifting;
  const around = state.blocks.filter(({ timeMs }) => timeMs >= sinceMs - BEFORE_MS);
  const since = around.filter(({ timeMs }) => timeMs >= sinceMs);
  const { deviation, widening } = known.spread;
  const limit = limitOf(plan, known, direction);
  const slope = slopeSince(since, widening);
  const course = courseOf(around, sinceMs);
  // Nothing is forecast from a slope that may be chance, nor from one that leads away from the limit, nor after a step.
  const isGrowing = slope !== null && course !== 'step' && slope.middle > 0 === (direction === 'high');
  const due =
    limit === null || !isGrowing ? null : dueTime({ blocks: since, sinceMs, limit, deviation, widening });
  const { residual, signal } = plan;
  return [
    {
      signal,
      direction,
      residual,
      level: state.drift.level,
      sinceMs,
      course,
      slopePerDay: slope,
      limit,
      due,
    },
  ];
}

/** The deviation at which it has to be repaired: what is set for the deviation, or what the value's limit leaves of it. */
function limitOf(
  { limits, residual }: SignalPlan,
  { usual }: LearntSignal,
  direction: Direction,
): number | null {
  if (direction === 'low') return limits.deviationLow;
  const { deviationHigh, valueHigh } = limits;
  const fromValue =
    valueHigh === null ? null : residual === 'ratio' ? valueHigh / usual - 1 : valueHigh - usual;
  if (fromValue === null || deviationHigh === null) return fromValue ?? deviationHigh;
  return Math.min(fromValue, deviationHigh);
}
