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
import { windowOf, type TrendView } from './trend-view.ts';

export interface TrendRequest {
  readonly figures: readonly string[];
  readonly tags: readonly string[];
  readonly view: TrendView;
  /** About how many buckets the width of the chart can show. */
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

/**
 * The series of a chart over a stretch of time that may move with the clock or stand still. What was drawn stays,
 * stretched to the new window, until the answer for it has come: nothing flickers, and an answer that comes too late
 * is dropped.
 */
export interface TrendSource {
  readonly state: SnapshotStore<TrendState>;
  ask(request: TrendRequest): void;
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
/** Turning a wheel asks for twenty windows a second; the history is asked for where it comes to rest. */
const SETTLE_MS = 120;

const NOTHING_ASKED: TrendRequest = { figures: [], tags: [], view: { kind: 'live', spanMs: 1 }, buckets: 1 };

export function trendSource(sources: LiveSources): TrendSource {
  const { connection, clock, stores } = sources;
  const state = snapshotStore<TrendState>({
    ...windowOf(NOTHING_ASKED.view, clock.nowMs()),
    columns: new Map(),
    isLoading: true,
    hasFailed: false,
  });
  let request = NOTHING_ASKED;
  let live = new Map<string, LiveBuckets>();
  let past: ReadonlyMap<string, TrendColumns> = new Map();
  let outcome = { isLoading: true, hasFailed: false };
  let fetching = new AbortController();
  let settling: number | undefined;
  let drawing: number | undefined;
  let unwatch = () => {};
  let isStarted = false;

  function publish() {
    const window = windowOf(request.view, clock.nowMs());
    if (request.view.kind === 'live') holdValues(live, stores, window.toMs);
    state.set({ ...window, columns: columnsNow(window.fromMs), ...outcome });
  }

  function columnsNow(fromMs: number): ReadonlyMap<string, TrendColumns> {
    if (request.view.kind === 'past') return past;
    const marginMs = bucketMsOf(request);
    const joined = new Map<string, TrendColumns>();
    for (const [id, buckets] of live) {
      buckets.dropBefore(fromMs - marginMs);
      joined.set(id, joinedColumns(past.get(id) ?? EMPTY_COLUMNS, buckets.columns(), fromMs - marginMs));
    }
    return joined;
  }

  function fetchPast() {
    fetching.abort();
    window.clearTimeout(settling);
    const series = [...request.figures, ...request.tags];
    if (!isStarted || series.length === 0 || clock.lastHeardMs() === null) return;
    fetching = new AbortController();
    const { signal } = fetching;
    const { fromMs, toMs } = windowOf(request.view, clock.nowMs());
    fetchThinned({ series, fromMs, toMs, buckets: request.buckets }, signal).then(
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

  function onNews(news: LiveChanges | Snapshot) {
    takeNews(live, news);
    // Only the first message says what the server calls the last half hour.
    if (outcome.isLoading && clock.lastHeardMs() !== null && settling === undefined) settle();
  }

  function settle() {
    window.clearTimeout(settling);
    settling = window.setTimeout(fetchPast, SETTLE_MS);
  }

  return {
    state,
    ask(next) {
      past = columnsNow(-Infinity);
      const kept = past;
      request = next;
      const bucketMs = bucketMsOf(next);
      const series = [...next.figures, ...next.tags];
      live = new Map(series.map((id) => [id, liveBuckets(bucketMs)]));
      past = new Map(series.flatMap((id) => (kept.has(id) ? [[id, kept.get(id) ?? EMPTY_COLUMNS]] : [])));
      outcome = { isLoading: series.length > 0, hasFailed: false };
      if (isStarted) watchAnew();
      publish();
      settle();
    },
    start() {
      isStarted = true;
      watchAnew();
      const stop = connection.listen({ onNews, onHole: fetchPast });
      drawing = window.setInterval(() => {
        if (request.view.kind === 'live') publish();
      }, PUBLISH_MS);
      settle();
      return () => {
        isStarted = false;
        fetching.abort();
        stop();
        unwatch();
        unwatch = () => {};
        window.clearInterval(drawing);
        window.clearTimeout(settling);
      };
    },
  };

  function watchAnew() {
    const before = unwatch;
    unwatch = connection.watch.add(request);
    before();
  }
}

function bucketMsOf({ view, buckets }: TrendRequest): number {
  const spanMs = view.kind === 'live' ? view.spanMs : view.toMs - view.fromMs;
  return Math.max(BUCKET_MS_MIN, Math.ceil(spanMs / buckets));
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

/** While the connection is live, a series that sends nothing stands still. */
function holdValues(live: ReadonlyMap<string, LiveBuckets>, stores: LiveStores, untilMs: number): void {
  if (stores.connection.get().state !== 'live') return;
  for (const [id, buckets] of live) {
    const figure = stores.figures.get(id);
    const value = figure === undefined ? stores.readings.get(id)?.value : figure.value;
    if (value !== undefined) buckets.holdUntil(untilMs, value);
  }
}
