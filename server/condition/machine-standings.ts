import type { MachineStanding, SignalCourse, SignalStanding } from '../contract/machine-standing.ts';
import type { UnitCode } from '../contract/unit-code.ts';
import { influenceAt } from '../machines/learn-baseline.ts';
import { expectedAt, residualOf } from '../machines/residual-of.ts';
import type { SignalPlan } from '../machines/signal-plan.ts';
import { levelMin } from '../machines/step-drift.ts';
import type { MachineState } from '../machines/step-machines.ts';
import type { SignalState } from '../machines/step-signal.ts';
import type { MachineEntry, MachineSettings } from '../contract/machine-settings.ts';
import { checksOf } from './checks-of.ts';
import type { KeptMachine, MachineKeeper } from './machine-keeper.ts';

/** All machines in order of concern. */
export function machineStandings(keeper: MachineKeeper, settings: MachineSettings): MachineStanding[] {
  const { machines } = keeper.state();
  const standings = keeper.machines().flatMap((kept) => {
    const entry = settings.machines.find(({ id }) => id === kept.machine.plan.machine);
    return entry === undefined ? [] : [standingOf(kept, entry, { settings, state: machines.get(entry.id) })];
  });
  return standings.sort((a, b) => b.concern - a.concern || (a.machine < b.machine ? -1 : 1));
}

interface Around {
  readonly settings: MachineSettings;
  readonly state: MachineState | undefined;
}

function standingOf(kept: KeptMachine, entry: MachineEntry, { settings, state }: Around): MachineStanding {
  const signals = kept.machine.plan.signals.map((plan) =>
    signalStanding(kept, plan, {
      state: state?.signals.get(plan.signal),
      unit: unitOf(settings, plan.signal),
    }),
  );
  const days = worstDays(kept, state);
  const shares = signals.map(({ level, levelMin: wanted }) => Math.abs(level ?? 0) / (wanted ?? Infinity));
  const baseline = kept.baseline;
  return {
    machine: entry.id,
    name: entry.name,
    line: entry.line,
    partOf: entry.machine,
    kind: entry.kind,
    regime: regimeOf(kept),
    baseline:
      baseline === null
        ? null
        : {
            version: baseline.id,
            timeMs: baseline.timeMs,
            fromMs: baseline.fromMs,
            toMs: baseline.toMs,
            reason: baseline.reason,
          },
    signals,
    checks: checksOf({ ...kept, entry, glimpse: kept.lastGlimpse }),
    finding: state?.finding ?? null,
    concern: concernOf(shares, state),
    days,
  };
}

/** What is found comes first, what is due sooner before what is due later; then by how near it is to a finding. */
function concernOf(shares: readonly number[], state: MachineState | undefined): number {
  const worst = Math.max(0, ...shares);
  const finding = state?.finding ?? null;
  if (finding === null) return Math.min(0.99, worst);
  const daysLeft = finding.due === null ? Infinity : (finding.due.middleMs - finding.foundMs) / 86_400_000;
  return 1 + Math.min(10, worst) + 100 / (1 + Math.max(0, daysLeft));
}

const STARTING_MS = 600_000;

function regimeOf({ lastGlimpse, runningSinceMs }: KeptMachine): MachineStanding['regime'] {
  if (lastGlimpse === null || lastGlimpse.isRunning === null) return 'unknown';
  if (runningSinceMs === null) return 'stopped';
  return lastGlimpse.timeMs - runningSinceMs < STARTING_MS ? 'starting' : 'running';
}

function unitOf(settings: MachineSettings, signal: string): UnitCode {
  return settings.signals.find((own) => own.signal === signal)?.unit ?? '1';
}

function signalStanding(
  kept: KeptMachine,
  plan: SignalPlan,
  at: { readonly state: SignalState | undefined; readonly unit: UnitCode },
): SignalStanding {
  const learnt = kept.learnt?.get(plan.signal);
  return {
    signal: plan.signal,
    unit: at.unit,
    residual: plan.residual,
    levelMin: learnt === undefined ? null : levelMin({ ...learnt.spread, smallest: plan.smallest }),
    ...levelNow(at.state),
    ...valueNow(kept, plan),
  };
}

function levelNow(state: SignalState | undefined): Pick<SignalStanding, 'level' | 'isDrifting'> {
  if (state === undefined || state.blocks.length === 0) return { level: null, isDrifting: false };
  return { level: state.drift.level, isDrifting: state.drift.drifting !== null };
}

function valueNow(kept: KeptMachine, plan: SignalPlan): Pick<SignalStanding, 'value' | 'expected'> {
  const point = kept.points.findLast(({ signals }) => signals.has(plan.signal));
  if (point === undefined) return { value: null, expected: null };
  const value = point.signals.get(plan.signal) ?? null;
  const learnt = kept.learnt?.get(plan.signal);
  if (learnt === undefined) return { value, expected: null };
  const residual = residualOf(learnt.baseline, point, plan);
  return { value, expected: residual.known ? residual.expected : null };
}

const DAY_MS = 86_400_000;
const DAYS = 30;

function worstDays(kept: KeptMachine, state: MachineState | undefined): MachineStanding['days'] {
  const worst = new Map<number, number>();
  for (const plan of kept.machine.plan.signals) {
    const learnt = kept.learnt?.get(plan.signal);
    if (learnt === undefined) continue;
    const wanted = levelMin({ ...learnt.spread, smallest: plan.smallest });
    for (const { timeMs, value } of state?.signals.get(plan.signal)?.blocks ?? []) {
      const day = Math.floor(timeMs / DAY_MS);
      worst.set(day, Math.max(worst.get(day) ?? 0, Math.abs(value) / wanted));
    }
  }
  const days = [...worst].sort(([a], [b]) => a - b).slice(-DAYS);
  return days.map(([day, share]) => ({ timeMs: day * DAY_MS, worst: share }));
}

/** Points of a time beside what was expected of them, and the residuals of all blocks, signal by signal. */
export function signalCourses(
  kept: KeptMachine,
  state: MachineState | undefined,
  at: { readonly settings: MachineSettings; readonly fromMs: number; readonly toMs: number },
): SignalCourse[] {
  const points = kept.points.filter(({ timeMs }) => timeMs >= at.fromMs && timeMs < at.toMs);
  return kept.machine.plan.signals.map((plan) => {
    const own = points.filter(({ signals }) => signals.has(plan.signal));
    const learnt = kept.learnt?.get(plan.signal);
    const groups = own.map(({ group }) => learnt?.baseline.groups.get(group) ?? null);
    const blocks = state?.signals.get(plan.signal)?.blocks ?? [];
    return {
      signal: plan.signal,
      unit: unitOf(at.settings, plan.signal),
      residual: plan.residual,
      timeMs: own.map(({ timeMs }) => timeMs),
      load: own.map((point) => influenceAt(point, 'load')),
      value: own.map(({ signals }) => signals.get(plan.signal) ?? 0),
      expected: own.map((point, i) => (groups[i] == null ? null : expectedAt(groups[i], point))),
      spread: groups.map((group) => group?.deviation ?? null),
      blockTimeMs: blocks.map(({ timeMs }) => timeMs),
      blockResidual: blocks.map(({ value }) => value),
    };
  });
}
