import type { AlarmTransition } from '../contract/alarm-message.ts';
import type { AlarmConfiguration } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import { alarmSetup, type AlarmSetup } from './alarm-setup.ts';
import { alarmStateAtStart, type AlarmState } from './alarm-state.ts';
import { annunciationCounts, annunciationsIn, type AlarmCount } from './annunciations.ts';
import { stepAlarms, type AlarmInput } from './step-alarms.ts';

export interface Replay {
  /** Each time that somebody would have been asked. */
  readonly annunciations: readonly AlarmTransition[];
  /** What the rules would have cost, most frequent first. */
  readonly counts: readonly AlarmCount[];
  readonly transitions: readonly AlarmTransition[];
}

export type ReplayTick = Pick<AlarmInput, 'frame' | 'figures' | 'restarts'>;

/** A replay under way; what happened so far is added to it. */
export interface ReplayRun {
  readonly setup: AlarmSetup;
  readonly transitions: AlarmTransition[];
  state: AlarmState;
  /** The end of the last tick played; null before the first. */
  playedMs: number | null;
}

/**
 * What would these rules have done over recorded time?
 *
 * The same code as live runs over the recorded frames and figures. Nobody acknowledges in a replay, so an alarm that
 * comes back before it was acknowledged counts again, as it would for an operator who had looked away.
 */
export function replayedAlarms(
  configuration: AlarmConfiguration,
  graphs: readonly LineGraph[],
  ticks: Iterable<ReplayTick>,
): Replay {
  const run = newReplay(configuration, graphs);
  for (const tick of ticks) playTick(run, tick);
  return replayOf(run.transitions);
}

export function newReplay(configuration: AlarmConfiguration, graphs: readonly LineGraph[]): ReplayRun {
  const setup = alarmSetup(configuration, graphs);
  return { setup, transitions: [], state: alarmStateAtStart(setup), playedMs: null };
}

export function playTick(run: ReplayRun, tick: ReplayTick): void {
  const step = stepAlarms(run.setup, run.state, { ...tick, acknowledgements: [] });
  run.state = step.state;
  run.playedMs = tick.frame.endMs;
  run.transitions.push(...step.transitions);
}

/** Stops have been seen that are not put in order yet: time alone moves them on. */
export function isUndecided({ state }: ReplayRun): boolean {
  return state.cascades.some((cascades) => cascades.some(({ headSlot }) => headSlot === null));
}

function replayOf(transitions: readonly AlarmTransition[]): Replay {
  const annunciations = annunciationsIn(transitions);
  return { annunciations, counts: annunciationCounts(annunciations), transitions };
}
