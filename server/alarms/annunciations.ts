import type { AlarmTransition } from '../contract/alarm-message.ts';

/** The lines of a journal at which an alarm began to ask for somebody; re-alarms and ended shelvings count. */
export function annunciationsIn(transitions: readonly AlarmTransition[]): readonly AlarmTransition[] {
  return transitions.filter(({ from, to }) => to === 'unacknowledged' && from !== 'unacknowledged');
}

export interface AlarmCount {
  readonly alarm: string;
  readonly count: number;
}

/** How often each alarm asked, most frequent first, by id where equal. */
export function annunciationCounts(annunciations: readonly AlarmTransition[]): readonly AlarmCount[] {
  const counts = new Map<string, number>();
  for (const { alarm } of annunciations) counts.set(alarm, (counts.get(alarm) ?? 0) + 1);
  return [...counts]
    .map(([alarm, count]) => ({ alarm, count }))
    .sort((a, b) => b.count - a.count || (a.alarm < b.alarm ? -1 : 1));
}
