import { useMemo } from 'react';
import { fetchThinned } from '../../live/plant-api.ts';
import type { Followed } from '../../live/snapshot-store.ts';
import { columnsFromHistory, type TrendColumns } from '../../live/trend-columns.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { useStore } from '../../live/use-live.ts';
import { useWindowSource } from '../../live/use-window-source.ts';

type Underlay = ReadonlyMap<string, TrendColumns>;

const NOTHING: Underlay = new Map();
/** It lies under the traces and is read by its shape. */
const BUCKETS = 800;

/** The same series `shiftMs` earlier than the window that is looked at; nothing for 0. */
export function useUnderlay(
  series: readonly string[],
  window: Followed<TimeWindow>,
  shiftMs: number,
): Underlay {
  const question = useMemo(
    () => ({
      window: earlier(window, shiftMs),
      nothing: NOTHING,
      ask: (stretch: TimeWindow, signal: AbortSignal) =>
        shiftMs === 0 || series.length === 0 ? Promise.resolve(NOTHING) : columnsOf(series, stretch, signal),
    }),
    [series, window, shiftMs],
  );
  return useStore(useWindowSource<Underlay>(question).answer);
}

function earlier(window: Followed<TimeWindow>, shiftMs: number): Followed<TimeWindow> {
  return {
    subscribe: window.subscribe,
    get() {
      const { fromMs, toMs } = window.get();
      return { fromMs: fromMs - shiftMs, toMs: toMs - shiftMs };
    },
  };
}

async function columnsOf(
  series: readonly string[],
  stretch: TimeWindow,
  signal: AbortSignal,
): Promise<Underlay> {
  const answer = await fetchThinned({ series, ...stretch, buckets: BUCKETS }, signal);
  return new Map(answer.series.map((one) => [one.series, columnsFromHistory(one)]));
}
