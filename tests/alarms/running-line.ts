import type { AlarmRule, FirstStopSettings } from '#server/contract/alarm-rule.ts';
import { alarmRig, type Rig } from './alarm-rig.ts';
import { chainGraph, CLEANING, settings, stopRules, TREATING } from './line.ts';

export const S = 1000;
/** When things happen. */
export const T = 10 * S;
export const DESTONER = 'a.destoner.stopped';

interface LineOptions {
  readonly rules?: readonly AlarmRule[];
  readonly unmeasured?: readonly string[];
  readonly firstStop?: Partial<FirstStopSettings>;
}

/** A line that runs from 1 s on. */
export function runningLine({ rules, unmeasured = [], firstStop = {} }: LineOptions = {}): Rig {
  const rig = alarmRig(rules ?? stopRules(unmeasured), {
    firstStop: [settings(firstStop)],
    graphs: [chainGraph(unmeasured)],
  });
  for (const machine of [...CLEANING, ...TREATING]) rig.read(`a.${machine}.running`, S, 1);
  rig.read('a.destoner.fan-running', S, 1);
  rig.run(T - 500);
  return rig;
}

/** The machines that feed `first` stop after it, one every `gapMs`. */
export function cascade(rig: Rig, first: string, gapMs = 110): readonly string[] {
  const train: readonly string[] = (CLEANING as readonly string[]).includes(first) ? CLEANING : TREATING;
  const stopped = train.slice(0, train.indexOf(first) + 1).toReversed();
  stopped.forEach((machine, at) => rig.read(`a.${machine}.running`, T + at * gapMs, 0));
  return stopped;
}

/** What asked for somebody, in order. */
export const annunciated = (rig: Rig) =>
  rig.journal.filter(({ to }) => to === 'unacknowledged').map(({ alarm }) => alarm);
