import type { LiveChanges, Snapshot } from '../../server/contract/socket-events.ts';
import type { LiveConnection } from './live-connection.ts';
import type { LiveStores } from './live-stores.ts';
import { fetchThinned } from './plant-api.ts';
import type { ServerClock } from './server-clock.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';
import {
  columnsFromHistory,
  EMPTY_COLUMNS,
  joinedColumns,
  liveBuckets,
  type LiveBuckets,
  type TrendColumns,
} from './trend-columns.ts';

export interface LiveTrendRequest {
  readonly figures: readonly string[];
  readonly tags: readonly string[];
  readonly spanMs: number;
  readonly buckets: number;
}

/** What a chart draws: a stretch of time and the columns of each series in it. */
export interface TrendState {
  readonly fromMs: number;
  readonly toMs: number;
  readonly columns: ReadonlyMap<string, TrendColumns>;
  readonly isLoading: boolean;
  readonly hasFailed: boolean;
}

export interface LiveTrend {
  readonly state: SnapshotStore<TrendState>;
  start(): () => void;
}

export interface LiveSources {
  readonly stores: LiveStores;
  readonly connection: LiveConnection;
  readonly clock: ServerClock;
}

/** A chart of half an hour moves by a pixel in a second or two; drawing it more often shows nothing new. */
const PUBLISH_MS = 1000;
const BUCKET_MS_MIN = 250;

/** The last `spanMs` of some series: their past from the history, continued by what comes over the socket. */
export function liveTrend(sources: LiveSources, request: LiveTrendRequest): LiveTrend {
  const { connection, clock } = sources;
  const bucketMs = Math.max(BUCKET_MS_MIN, Math.ceil(request.spanMs / request.buckets));
  const series = [...request.figures, ...request.tags];
  const live = new Map(series.map((id) => [id, liveBuckets(bucketMs)]));
  const state = snapshotStore(emptyState(clock.nowMs(), request.spanMs));
  let past = new Map<string, TrendColumns>();
  let fetching = new AbortController();
  let outcome = { isLoading: series.length > 0, hasFailed: false };

  function publish() {
    const toMs = clock.nowMs();
    const fromMs = toMs - request.spanMs;
    const columns = new Map<string, TrendColumns>();
    for (const [id, buckets] of live) {
      const value = currentValue(sources.stores, id);
      if (value !== undefined) buckets.holdUntil(toMs, value);
      buckets.dropBefore(fromMs - bucketMs);
      columns.set(id, joinedColumns(past.get(id) ?? EMPTY_COLUMNS, buckets.columns(), fromMs - bucketMs));
    }
    state.set({ fromMs, toMs, columns, ...outcome });
  }

  function fetchPast() {
    fetching.abort();
    fetching = new AbortController();
    const { signal } = fetching;
    const toMs = clock.nowMs();
    fetchThinned({ series, fromMs: toMs - request.spanMs, toMs, buckets: request.buckets }, signal).then(
      (answer) => {
        past = new Map(answer.series.map((one) => [one.series, columnsFromHistory(one)]));
        outcome = { isLoading: false, hasFailed: false };
        publish();
      },
      () => {
        if (signal.aborted) return;
        outcome = { isLoading: false, hasFailed: true };
        publish();
      },
    );
  }

  return {
    state,
    start() {
      const isClockKnown = clock.lastHeardMs() !== null;
      let hasAsked = false;
      const askOnce = () => {
        if (hasAsked || series.length === 0) return;
        hasAsked = true;
        fetchPast();
      };
      const onNews = (news: LiveChanges | Snapshot) => {
        takeNews(live, news);
        askOnce(); // Only now is it known what the server calls the last half hour.
      };
      const stopListening = connection.listen({ onNews, onHole: fetchPast });
      const unwatch = connection.watch.add(request);
      const timer = window.setInterval(publish, Math.min(PUBLISH_MS, bucketMs));
      if (isClockKnown) askOnce();
      return () => {
        fetching.abort();
        stopListening();
        unwatch();
        window.clearInterval(timer);
      };
    },
  };
}

function takeNews(
  live: ReadonlyMap<string, LiveBuckets>,
  { figures, readings }: LiveChanges | Snapshot,
): void {
  for (const { id, timeMs, value } of figures) live.get(id)?.take(timeMs, value);
  for (const { tag, timeMs, value } of readings) {
    const buckets = live.get(tag);
    if (buckets === undefined) continue;
    for (const [index, time] of timeMs.entries()) buckets.take(time, value[index] ?? null);
  }
}

/** What the series is now; undefined while nobody can know. */
function currentValue(stores: LiveStores, id: string): number | null | undefined {
  if (stores.connection.get().state !== 'live') return undefined;
  return stores.figures.get(id)?.value ?? stores.readings.get(id)?.value;
}

function emptyState(nowMs: number, spanMs: number): TrendState {
  return { fromMs: nowMs - spanMs, toMs: nowMs, columns: new Map(), isLoading: true, hasFailed: false };
}
