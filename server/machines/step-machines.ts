import type { Direction, Finding } from '../contract/machine-health.ts';
import type { BlockSpread } from './block-spread.ts';
import { findingOf } from './finding-of.ts';
import { fleetShift } from './fleet-shift.ts';
import type { LearntMachine } from './learn-machine.ts';
import type { CauseRow } from './likely-causes.ts';
import { residualOf } from './residual-of.ts';
import type { MachinePlan } from './signal-plan.ts';
import { NEW_SIGNAL, stepSignal, type SignalState } from './step-signal.ts';
import type { DriftChart } from './step-drift.ts';
import type { ConditionPoint } from './step-point.ts';

export interface MachinesSetup {
  readonly plans: readonly MachinePlan[];
  readonly learnt: ReadonlyMap<string, LearntMachine>;
  readonly causes: readonly CauseRow[];
}

/** How all machines have gone on since they were learnt. */
export interface MachinesState {
  readonly machines: ReadonlyMap<string, MachineState>;
  /** What all machines have in common, by signal. */
  readonly fleet: ReadonlyMap<string, SignalState>;
}

export interface MachineState {
  readonly signals: ReadonlyMap<string, SignalState>;
  readonly finding: Finding | null;
}

export const NO_MACHINES_YET: MachinesState = { machines: new Map(), fleet: new Map() };

/** A change that many machines share: of the voltage, the weather, the feed; no machine's own fault. */
export interface CommonShift {
  readonly signal: string;
  readonly direction: Direction;
  readonly level: number;
  readonly sinceMs: number;
}

/** Takes in one window: at most one point of each machine. */
export function stepMachines(
  state: MachinesState,
  points: ReadonlyMap<string, ConditionPoint>,
  setup: MachinesSetup,
): MachinesState {
  const residuals = setup.plans.map((plan) => ({
    plan,
    timeMs: points.get(plan.machine)?.timeMs ?? 0,
    own: residualsOf(plan, points.get(plan.machine), setup.learnt.get(plan.machine)),
  }));
  const shifts = shiftsNow(residuals);
  const machines = new Map(state.machines);
  for (const { plan, timeMs, own } of residuals) {
    const learnt = setup.learnt.get(plan.machine);
    if (own.size === 0 || learnt === undefined) continue;
    const before = machines.get(plan.machine) ?? { signals: new Map(), finding: null };
    const after = stepOne(before, { plan, timeMs, own, learnt, shifts, causes: setup.causes });
    machines.set(plan.machine, after);
  }
  const nowMs = Math.max(0, ...[...points.values()].map(({ timeMs }) => timeMs));
  return { machines, fleet: steppedFleet(state.fleet, { shifts, nowMs, setup }) };
}

/** What is going on with many machines at once. */
export function commonShifts(state: MachinesState): readonly CommonShift[] {
  return [...state.fleet].flatMap(([signal, { drift }]) =>
    drift.drifting === null ? [] : [{ signal, level: drift.level, ...drift.drifting }],
  );
}

type Residuals = ReadonlyMap<string, number>;

function residualsOf(
  plan: MachinePlan,
  point: ConditionPoint | undefined,
  learnt: LearntMachine | undefined,
): Residuals {
  const residuals = new Map<string, number>();
  if (point === undefined || learnt === undefined) return residuals;
  for (const signal of plan.signals) {
    const known = learnt.get(signal.signal);
    const residual = known === undefined ? null : residualOf(known.baseline, point, signal);
    if (residual?.known === true) residuals.set(signal.signal, residual.value);
  }
  return residuals;
}

function shiftsNow(
  residuals: readonly { readonly plan: MachinePlan; readonly own: Residuals }[],
): ReadonlyMap<string, number> {
  const together = new Map<string, number[]>();
  for (const { plan, own } of residuals) {
    for (const { signal, isShared } of plan.signals) {
      const value = own.get(signal);
      if (isShared && value !== undefined) together.set(signal, [...(together.get(signal) ?? []), value]);
    }
  }
  const shifts = new Map<string, number>();
  for (const [signal, values] of together) {
    const shift = fleetShift(values);
    if (shift !== null) shifts.set(signal, shift);
  }
  return shifts;
}

interface OneMachine {
  readonly plan: MachinePlan;
  readonly timeMs: number;
  readonly own: Residuals;
  readonly learnt: LearntMachine;
  readonly shifts: ReadonlyMap<string, number>;
  readonly causes: readonly CauseRow[];
}

function stepOne(before: MachineState, at: OneMachine): MachineState {
  const signals = new Map(before.signals);
  let hasBlock = false;
  for (const { signal, smallest } of at.plan.signals) {
    const value = at.own.get(signal);
    const known = at.learnt.get(signal);
    if (value === undefined || known === undefined) continue;
    const residual = { timeMs: at.timeMs, value: value - known.shared * (at.shifts.get(signal) ?? 0) };
    const chart = { ...known.spread, smallest };
    const [state, isNew] = stepSignal(signals.get(signal) ?? NEW_SIGNAL, residual, chart);
    signals.set(signal, state);
    hasBlock ||= isNew;
  }
  // Between blocks nothing is known that was not known before.
  if (!hasBlock) return { signals, finding: before.finding };
  const judged = { plan: at.plan, learnt: at.learnt, signals };
  return { signals, finding: findingOf(judged, at.causes, before.finding) };
}

/** A common shift is found as a machine's own would be; its spread is that of a typical machine. */
function steppedFleet(
  fleet: MachinesState['fleet'],
  at: { readonly shifts: ReadonlyMap<string, number>; readonly nowMs: number; readonly setup: MachinesSetup },
): MachinesState['fleet'] {
  const after = new Map(fleet);
  for (const [signal, value] of at.shifts) {
    const chart = fleetChart(signal, at.setup);
    if (chart === null) continue;
    const residual = { timeMs: at.nowMs, value };
    after.set(signal, stepSignal(after.get(signal) ?? NEW_SIGNAL, residual, chart)[0]);
  }
  return after;
}

function fleetChart(signal: string, { plans, learnt }: MachinesSetup): DriftChart | null {
  for (const { machine, signals } of plans) {
    const plan = signals.find((own) => own.signal === signal);
    const spread: BlockSpread | undefined = learnt.get(machine)?.get(signal)?.spread;
    if (plan !== undefined && spread !== undefined) return { ...spread, smallest: plan.smallest };
  }
  return null;
}
