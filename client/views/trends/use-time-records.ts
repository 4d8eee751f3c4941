import { useEffect, useMemo } from 'react';
import { useApp } from '../../live/app-context.ts';
import { fetchRecords } from '../../live/plant-api.ts';
import type { Followed } from '../../live/snapshot-store.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { useStore } from '../../live/use-live.ts';
import { useWindowSource } from '../../live/use-window-source.ts';
import { NO_RECORDS, type TimeRecords } from './time-events.ts';

/** A journal of a month is a thousand lines on the pixels of one screen: beyond it only a shorter window shows events. */
const SPAN_MS_MAX = 32 * 86_400_000;

/** What was written down about the window that is looked at, and again when something was written. */
export function useTimeRecords(window: Followed<TimeWindow>): {
  readonly records: TimeRecords;
  readonly again: () => void;
} {
  const { stores } = useApp();
  const question = useMemo(
    () => ({ window, nothing: NO_RECORDS, ask: askRecords, spanMsMax: SPAN_MS_MAX }),
    [window],
  );
  const { answer, again } = useWindowSource<TimeRecords>(question);
  useEffect(() => {
    let timer: number | undefined;
    // A change is written down a moment after it is on the screen; a flood of them is read once.
    const soon = () => {
      globalThis.clearTimeout(timer);
      timer = globalThis.window.setTimeout(again, AGAIN_MS);
    };
    const stops = [stores.alarms, stores.lots, stores.shifts].map((store) => store.subscribe(soon));
    return () => {
      globalThis.clearTimeout(timer);
      for (const stop of stops) stop();
    };
  }, [stores, again]);
  return { records: useStore(answer), again };
}

const AGAIN_MS = 800;

async function askRecords(stretch: TimeWindow, signal: AbortSignal): Promise<TimeRecords> {
  const [lots, shifts, marks, transitions] = await Promise.all([
    fetchRecords('lots', stretch, signal),
    fetchRecords('shifts', stretch, signal),
    fetchRecords('marks', stretch, signal),
    fetchRecords('alarms/journal', stretch, signal),
  ]);
  return { lots, shifts, marks, transitions };
}
