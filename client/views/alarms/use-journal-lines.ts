import { useMemo } from 'react';
import type { AlarmTransition, Priority } from '../../../server/contract/alarm-message.ts';
import { transitionTitle } from '../../../server/contract/format/alarm-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useReader } from '../../live/use-live.ts';

/** One line of the journal in words. */
export interface JournalLine {
  readonly key: string;
  readonly timeMs: number;
  readonly title: string;
  readonly change: string;
  readonly priority: Priority;
  readonly by: string;
  /** All of it in small letters, for searching. */
  readonly text: string;
}

export function useJournalLines(entries: readonly AlarmTransition[]): readonly JournalLine[] {
  const { texts, plant } = useApp();
  const names = useNames();
  const reader = useReader(plant.lines[0]?.id ?? '');
  return useMemo(
    () =>
      entries.map((entry, index): JournalLine => {
        const title = transitionTitle(entry, names, reader);
        const states = texts.format.alarmState;
        const bare = texts.alarms.change(states[entry.from], states[entry.to]);
        const change = entry.reason === undefined ? bare : texts.alarms.changeBecause(bare, entry.reason);
        const by = entry.by ?? texts.alarms.byPlant;
        const priority = texts.format.priority[entry.priority];
        const text = `${title} ${change} ${by} ${priority}`.toLowerCase();
        const key = `${entry.timeMs} ${entry.alarm} ${entry.to} ${entries.length - index}`;
        return { key, timeMs: entry.timeMs, title, change, priority: entry.priority, by, text };
      }),
    [entries, texts, names, reader],
  );
}
