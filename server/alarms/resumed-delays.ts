import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import type { AlarmSetup } from './alarm-setup.ts';
import type { AlarmState } from './alarm-state.ts';
import { withDue } from './advance-alarm.ts';
import { judged, type Delays, type DelayTimer } from './delay-timer.ts';
import type { PremisePlan, PremiseState } from './premise.ts';

/** The alarms as they were journalled, and as the readings of the last seconds before the stop leave them. */
interface Resuming {
  readonly restored: AlarmState;
  /** The restored state after those readings: what it says of alarms is not told, its clocks are taken. */
  readonly shadow: AlarmState;
  /** When the last of those readings was taken. */
  readonly stoppedMs: number;
}

/**
 * The restored state with the delays that were running when the server stopped.
 *
 *     clock under way in the shadow          -> under way here, standing still until its input speaks again
 *     shadow on, restored off (or the other) -> the change was seen and not journalled: due as soon as its input
 *                                               says so again, with the source time at which it began
 *
 * Time without knowledge counts neither for a change nor against it (see `DelayTimer`), so the time in which the
 * server stood is left out of every delay. What inputs said is not taken over: they count as unknown until heard.
 */
export function withResumedDelays(setup: AlarmSetup, resuming: Resuming): AlarmState {
  const { restored, shadow, stoppedMs } = resuming;
  return {
    ...restored,
    records: setup.plans.map((plan) => {
      const [before, after] = [recordIn(restored, plan), recordIn(shadow, plan)];
      return withDue({
        ...before,
        wasOn: after.wasOn,
        memory: after.memory,
        timers: before.timers.map((timer, at) => {
          const other = after.timers[at] ?? timer;
          const sinceMs = other.isOn ? after.told.raisedMs : (after.told.clearedMs ?? stoppedMs);
          return resumed(timer, other, { delays: plan.delays, sinceMs, stoppedMs });
        }),
        armed:
          plan.armed === null ? null : premiseResumed(plan.armed, [before.armed, after.armed], stoppedMs),
      });
    }),
    suppressions: setup.suppressions.flatMap(({ premise }, at) => {
      const state = premiseResumed(premise, [restored.suppressions[at], shadow.suppressions[at]], stoppedMs);
      return state === null ? [] : [state];
    }),
  };
}

function premiseResumed(
  plan: PremisePlan,
  [before, after]: readonly [PremiseState | null | undefined, PremiseState | null | undefined],
  stoppedMs: number,
): PremiseState | null {
  if (before === null || before === undefined) return null;
  if (after === null || after === undefined) return before;
  const at = { delays: plan.delays, sinceMs: stoppedMs, stoppedMs };
  return { truths: before.truths, timer: resumed(before.timer, after.timer, at) };
}

function resumed(
  before: DelayTimer,
  after: DelayTimer,
  at: { readonly delays: Delays; readonly sinceMs: number; readonly stoppedMs: number },
): DelayTimer {
  if (after.isOn === before.isOn) {
    return judged(after, { verdict: 'unknown', timeMs: at.stoppedMs }, at.delays);
  }
  return { isOn: before.isOn, sinceMs: at.sinceMs, dueMs: Infinity, leftMs: 0 };
}

function recordIn(state: AlarmState, { slot, rule }: AlarmPlan): AlarmRecord {
  const record = state.records[slot];
  if (record === undefined)
    throw new RangeError(`FIGURE_INPUT alarm state: got no record of ${rule.id}, expected one`);
  return record;
}
