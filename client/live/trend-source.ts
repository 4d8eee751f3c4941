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
  readonly ask: (request: TrendRequest) => void;
  readonly start: () => () => void;
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
  const kept = new KeptTrend(sources);
  return { state: kept.state, ask: (request) => kept.ask(request), start: () => kept.start() };
}

class KeptTrend {
  readonly state: SnapshotStore<TrendState>;
  readonly #sources: LiveSources;
  #request = NOTHING_ASKED;
  #live = new Map<string, LiveBuckets>();
  #past: ReadonlyMap<string, TrendColumns> = new Map();
  #outcome = { isLoading: true, hasFailed: false };
  #fetching = new AbortController();
  #settling: number | undefined;
  #isStarted = false;
  #isWaitingForClock = false;
  #unwatch: () => void = () => undefined;

  constructor(sources: LiveSources) {
    this.#sources = sources;
    const window = windowOf(NOTHING_ASKED.view, sources.clock.nowMs());
    this.state = snapshotStore<TrendState>({ ...window, columns: new Map(), ...this.#outcome });
  }

  ask(request: TrendRequest): void {
    const kept = this.#columnsFrom(-Infinity);
    const series = seriesOf(request);
    const bucketMs = bucketMsOf(request);
    this.#request = request;
    this.#live = new Map(series.map((id) => [id, liveBuckets(bucketMs)]));
    this.#past = new Map(series.map((id) => [id, kept.get(id) ?? EMPTY_COLUMNS]));
    this.#outcome = { isLoading: series.length > 0, hasFailed: false };
    if (this.#isStarted) this.#watchAnew();
    this.#publish();
    this.#settle();
  }

  start(): () => void {
    this.#isStarted = true;
    this.#watchAnew();
    const stop = this.#sources.connection.listen({
      onNews: (news) => this.#takeNews(news),
      onHole: () => this.#fetchPast(),
    });
    const drawing = window.setInterval(() => {
      if (this.#request.view.kind === 'live') this.#publish();
    }, PUBLISH_MS);
    this.#settle();
    return () => {
      this.#isStarted = false;
      this.#fetching.abort();
      window.clearInterval(drawing);
      window.clearTimeout(this.#settling);
      stop();
      this.#unwatch();
      this.#unwatch = () => undefined;
    };
  }

  #publish(): void {
    const window = windowOf(this.#request.view, this.#sources.clock.nowMs());
    if (this.#request.view.kind === 'live') holdValues(this.#live, this.#sources.stores, window.toMs);
    this.state.set({ ...window, columns: this.#columnsFrom(window.fromMs), ...this.#outcome });
  }

  #columnsFrom(fromMs: number): ReadonlyMap<string, TrendColumns> {
    if (this.#request.view.kind === 'past') return this.#past;
    const startMs = fromMs - bucketMsOf(this.#request);
    const joined = new Map<string, TrendColumns>();
    for (const [id, buckets] of this.#live) {
      buckets.dropBefore(startMs);
      joined.set(id, joinedColumns(this.#past.get(id) ?? EMPTY_COLUMNS, buckets.columns(), startMs));
    }
    return joined;
  }

  #takeNews({ figures, readings }: LiveChanges | Snapshot): void {
    for (const { id, timeMs, value } of figures) this.#live.get(id)?.take(timeMs, value);
    for (const { tag, timeMs, value } of readings) {
      const buckets = this.#live.get(tag);
      if (buckets === undefined) continue;
      for (const [index, time] of timeMs.entries()) buckets.take(time, value[index] ?? null);
    }
    if (this.#isWaitingForClock) this.#fetchPast();
  }

  #settle(): void {
    window.clearTimeout(this.#settling);
    this.#settling = window.setTimeout(() => this.#fetchPast(), SETTLE_MS);
  }

  #fetchPast(): void {
    this.#fetching.abort();
    window.clearTimeout(this.#settling);
    const series = seriesOf(this.#request);
    if (!this.#isStarted || series.length === 0) return;
    // Only the first message says what the server calls the last half hour.
    this.#isWaitingForClock = this.#sources.clock.lastHeardMs() === null;
    if (this.#isWaitingForClock) return;
    this.#fetching = new AbortController();
    const { signal } = this.#fetching;
    const stretch = windowOf(this.#request.view, this.#sources.clock.nowMs());
    fetchThinned({ series, ...stretch, buckets: this.#request.buckets }, signal).then(
      (answer) => {
        this.#past = new Map(answer.series.map((one) => [one.series, columnsFromHistory(one)]));
        this.#end({ isLoading: false, hasFailed: false });
      },
      () => {
        if (!signal.aborted) this.#end({ isLoading: false, hasFailed: true });
      },
    );
  }

  #end(outcome: { readonly isLoading: boolean; readonly hasFailed: boolean }): void {
    this.#outcome = outcome;
    this.#publish();
  }

  #watchAnew(): void {
    const before = this.#unwatch;
    this.#unwatch = this.#sources.connection.watch.add(this.#request);
    before();
  }
}

function seriesOf({ figures, tags }: TrendRequest): readonly string[] {
  return [...figures, ...tags];
}

function bucketMsOf({ view, buckets }: TrendRequest): number {
  const spanMs = view.kind === 'live' ? view.spanMs : view.toMs - view.fromMs;
  return Math.max(BUCKET_MS_MIN, Math.ceil(spanMs / buckets));
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
