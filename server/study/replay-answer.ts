import { alarmMetrics } from '../alarms/alarm-metrics.ts';
import { annunciationCounts, annunciationsIn } from '../alarms/annunciations.ts';
import type { AlarmTransition } from '../contract/alarm-message.ts';
import { REPLAY_LISTED_MAX, type ReplayAnswer } from '../contract/alarm-replay.ts';
import type { TimeRange } from '../ports/record-store.ts';

type Replayed = ReplayAnswer['inForce'];

/** What one set of rules did in the time: what fell into the time before it only served to get going. */
export function replayedIn(transitions: readonly AlarmTransition[], range: TimeRange): Replayed {
  const inTime = transitions.filter(({ timeMs }) => timeMs >= range.fromMs && timeMs < range.toMs);
  const asked = annunciationsIn(inTime).toSorted((a, b) => a.timeMs - b.timeMs);
  const clearedMs = clearingsOf(inTime);
  return {
    annunciations: asked.length,
    stoodBefore: standingAt(transitions, range.fromMs),
    tenMinutesMax: alarmMetrics(inTime, [], range).tenMinutesMax,
    occurrences: asked.slice(0, REPLAY_LISTED_MAX).map((annunciation) => ({
      alarm: annunciation.alarm,
      annunciation,
      clearedMs: clearedMs.get(annunciation) ?? null,
    })),
    isCut: asked.length > REPLAY_LISTED_MAX,
  };
}

/** Annunciations of each rule under both sets, most costly proposal first. */
export function costOf(
  rules: readonly string[],
  transitions: {
    readonly inForce: readonly AlarmTransition[];
    readonly proposed: readonly AlarmTransition[];
  },
  { fromMs, toMs }: TimeRange,
): ReplayAnswer['cost'] {
  const counted = (all: readonly AlarmTransition[]) =>
    new Map(
      annunciationCounts(annunciationsIn(all).filter(({ timeMs }) => timeMs >= fromMs && timeMs < toMs)).map(
        ({ alarm, count }) => [alarm, count],
      ),
    );
  const [inForce, proposed] = [counted(transitions.inForce), counted(transitions.proposed)];
  return rules
    .map((alarm) => ({ alarm, inForce: inForce.get(alarm) ?? 0, proposed: proposed.get(alarm) ?? 0 }))
    .sort((a, b) => b.proposed - a.proposed || b.inForce - a.inForce || (a.alarm < b.alarm ? -1 : 1));
}

/** Nobody acknowledges in a replay, so what stands is unacknowledged. */
function standingAt(transitions: readonly AlarmTransition[], timeMs: number): string[] {
  const last = new Map<string, AlarmTransition['to']>();
  for (const transition of transitions)
    if (transition.timeMs < timeMs) last.set(transition.alarm, transition.to);
  return [...last].filter(([, to]) => to === 'unacknowledged').map(([alarm]) => alarm);
}

/** When the condition of each annunciation was gone: the first line of its alarm that leads to a returned state. */
function clearingsOf(transitions: readonly AlarmTransition[]): ReadonlyMap<AlarmTransition, number> {
  const cleared = new Map<AlarmTransition, number>();
  const open = new Map<string, AlarmTransition>();
  for (const transition of transitions) {
    const { alarm, from, to, timeMs } = transition;
    const asked = open.get(alarm);
    if (asked !== undefined && RETURNED.has(to)) {
      cleared.set(asked, timeMs);
      open.delete(alarm);
    }
    if (to === 'unacknowledged' && from !== 'unacknowledged') open.set(alarm, transition);
  }
  return cleared;
}

const RETURNED: ReadonlySet<AlarmTransition['to']> = new Set([
  'normal',
  'returned-unacknowledged',
  'latched-unacknowledged',
]);
