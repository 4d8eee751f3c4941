import type { AlarmTransition } from '../contract/alarm-message.ts';
import type { AlarmConfiguration } from '../contract/alarm-rule.ts';
import type { LineGraph } from '../contract/line-graph.ts';
import { alarmSetup } from './alarm-setup.ts';
import { alarmStateAtStart } from './alarm-state.ts';
import { annunciationCounts, annunciationsIn, type AlarmCount } from './annunciations.ts';
import { stepAlarms, type AlarmInput } from './step-alarms.ts';

export interface Replay {
  /** Each time that somebody would have been asked. */
  readonly annunciations: readonly AlarmTransition[];
  /** What the rules would have cost, most frequent first. */
  readonly counts: readonly AlarmCount[];
  readonly transitions: readonly AlarmTransition[];
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
  ticks: Iterable<Pick<AlarmInput, 'frame' | 'figures' | 'restarts'>>,
): Replay {
  const setup = alarmSetup(configuration, graphs);
  const transitions: AlarmTransition[] = [];
  let state = alarmStateAtStart(setup);
  for (const tick of ticks) {
    const step = stepAlarms(setup, state, { ...tick, acknowledgements: [] });
    state = step.state;
    transitions.push(...step.transitions);
  }
  const annunciations = annunciationsIn(transitions);
  return { annunciations, counts: annunciationCounts(annunciations), transitions };
}
