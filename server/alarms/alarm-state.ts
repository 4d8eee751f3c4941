import type { AlarmMessage } from '../contract/alarm-message.ts';
import type { Reading } from '../contract/reading.ts';
import { alarmMessageOf, recordAtStart, type AlarmRecord } from './alarm-record.ts';
import type { AlarmSetup } from './alarm-setup.ts';
import type { Cascade } from './cascade.ts';
import { alarmStateOf } from './lifecycle.ts';
import { premiseAtStart, type PremiseState } from './premise.ts';

/** How all alarms stand between two ticks. */
export interface AlarmState {
  /** By slot. */
  readonly records: readonly AlarmRecord[];
  /** Whether each suppression is in force. */
  readonly suppressions: readonly PremiseState[];
  /** The reading that was heard last, of each tag that a rule listens to. */
  readonly heard: ReadonlyMap<string, Reading>;
  /** Stops that belong together, one list for each line whose stops are put in order. */
  readonly cascades: readonly (readonly Cascade[])[];
  /** Alarms that stood at the last shutdown and whose rule is gone; told as normal in the first tick. */
  readonly orphans: readonly AlarmMessage[];
}

export function alarmStateAtStart(setup: AlarmSetup): AlarmState {
  return {
    records: setup.plans.map(recordAtStart),
    suppressions: setup.suppressions.map(({ premise }) => premiseAtStart(premise)),
    heard: new Map(),
    cascades: setup.stopGraphs.map(() => []),
    orphans: [],
  };
}

/** Every alarm that is not normal, withheld ones too. */
export function standingAlarms(setup: AlarmSetup, state: AlarmState): readonly AlarmMessage[] {
  return setup.plans.flatMap((plan) => {
    const record = state.records[plan.slot];
    return record === undefined || alarmStateOf(record.life) === 'normal'
      ? []
      : [alarmMessageOf(plan, record)];
  });
}
