import { useEffect, useState } from 'react';
import { useApp } from '../../live/app-context.ts';
import { fetchThinned } from '../../live/plant-api.ts';
import { columnsFromHistory, type TrendColumns } from '../../live/trend-columns.ts';
import { SPAN_MS_MAX, type TimeWindow } from '../../live/trend-view.ts';

/** The whole past of one series, coarsely. */
export interface Overview extends TimeWindow {
  readonly series: string;
  readonly columns: TrendColumns;
}

const BUCKETS = 500;
/** The whole range grows by a pixel in minutes at least. */
const AGAIN_MS = 300_000;
/** While the link is young the server's time is not known yet. */
const SOON_MS = 400;

/** Null until it is known, and for a series of which nothing is kept. */
export function useOverview(series: string): Overview | null {
  const { clock } = useApp();
  const [overview, setOverview] = useState<Overview | null>(null);
  useEffect(() => {
    const asking = new AbortController();
    let timer: number | undefined;
    const ask = () => {
      const isKnown = clock.lastHeardMs() !== null;
      timer = window.setTimeout(ask, isKnown ? AGAIN_MS : SOON_MS);
      if (!isKnown) return;
      void wholeRange(series, clock.nowMs(), asking.signal).then(
        (found) => {
          if (!asking.signal.aborted) setOverview(found);
        },
        () => undefined, // The strip stays empty, or as it was; the panes say that the history fails.
      );
    };
    ask();
    return () => {
      asking.abort();
      window.clearTimeout(timer);
    };
  }, [series, clock]);
  return overview?.series === series ? overview : null;
}

/** Coarse buckets over all that can be kept say where it begins; the rest is asked for from there. */
async function wholeRange(series: string, nowMs: number, signal: AbortSignal): Promise<Overview | null> {
  const all = { fromMs: nowMs - SPAN_MS_MAX, toMs: nowMs };
  const coarse = await columnsOf(series, all, signal);
  const first = coarse.mid.findIndex((value) => value !== null);
  if (first === -1) return null;
  const begin = await columnsOf(series, { fromMs: coarse.timeMs[first] ?? all.fromMs, toMs: nowMs }, signal);
  const from = Math.max(
    0,
    begin.mid.findIndex((value) => value !== null),
  );
  return { series, columns: begin, fromMs: begin.timeMs[from] ?? all.fromMs, toMs: nowMs };
}

async function columnsOf(series: string, stretch: TimeWindow, signal: AbortSignal): Promise<TrendColumns> {
  const answer = await fetchThinned({ series: [series], ...stretch, buckets: BUCKETS }, signal);
  const [found] = answer.series;
  return found === undefined ? { timeMs: [], min: [], max: [], mid: [] } : columnsFromHistory(found);
}
