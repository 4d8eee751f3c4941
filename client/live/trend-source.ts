import type { LiveChanges, Snapshot } from '../../server/contract/socket-events.ts';
import type { LiveConnection } from './live-connection.ts';
import type { LiveStores } from './live-stores.ts';
import { fetchColumns } from './fetch-columns.ts';
import type { ServerClock } from './server-clock.ts';
import { snapshotStore, type SnapshotStore } from './snapshot-store.ts';
import {
  EMPTY_COLUMNS,
  joinedColumns,
  liveBuckets,
  type LiveBuckets,
  type TrendColumns,
} from './trend-columns.ts';
import { fits, stretchFor, type Stretch } from './trend-stretch.ts';
import { overlaps, windowOf, type TrendView } from './trend-view.ts';

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
 * is dropped. More than the window is fetched, so that a chart that is moved has something to show.
 */
export interface TrendSource {
  readonly state: SnapshotStore<TrendState>;
  /** Other series, or another width. */
  readonly ask: (request: TrendRequest) => void;
  /** The same series over another stretch: cheap enough for every frame of a turning wheel. */
  readonly look: (view: TrendView) => void;
  readonly start: () => () => void;
}

export interface LiveSources {
  readonly stores: LiveStores;
  readonly connection: LiveConnection;
  readonly clock: ServerClock;
}

/** Drawn as often as a pixel of the chart lasts, within these: more often shows nothing new. */
const DRAW_MS_MIN = 100;
const DRAW_MS_MAX = 1000;
const BUCKET_MS_MIN = 250;
/** Turning a wheel asks for sixty windows a second; the history is asked for a few of them. */
const SETTLE_MS = 120;

const NOTHING_ASKED: TrendRequest = { figures: [], tags: [], view: { kind: 'live', spanMs: 1 }, buckets: 1 };

export function trendSource(sources: LiveSources): TrendSource {
  const kept = new KeptTrend(sources);
  return {
    state: kept.state,
    ask: (request) => kept.ask(request),
    look: (view) => kept.look(view),
    start: () => kept.start(),
  };
}

class KeptTrend {
  readonly state: SnapshotStore<TrendState>;
  readonly #sources: LiveSources;
  #request = NOTHING_ASKED;
  #live = new Map<string, LiveBuckets>();
  #past: ReadonlyMap<string, TrendColumns> = new Map();
  /** What the past covers, and how finely; null until an answer has come for these series. */
  #known: Stretch | null = null;
  /** What is being fetched. */
  #coming: Stretch | null = null;
  #outcome = { isLoading: true, hasFailed: false };
  #fetching = new AbortController();
  #settling: number | undefined;
  #drawing: number | undefined;
  #isStarted = false;
  #isWaitingForClock = false;
  #unwatch: () => void = () => undefined;

  constructor(sources: LiveSources) {
    this.#sources = sources;
    const window = windowOf(NOTHING_ASKED.view, sources.clock.nowMs());
    this.state = snapshotStore<TrendState>({ ...window, columns: new Map(), ...this.#outcome });
  }

  ask(request: TrendRequest): void {
    const kept = this.#columns();
    const series = seriesOf(request);
    this.#request = request;
    this.#live = this.#freshBuckets();
    this.#past = new Map(series.map((id) => [id, kept.get(id) ?? EMPTY_COLUMNS]));
    this.#known = null;
    this.#coming = null;
    this.#fetching.abort();
    this.#outcome = { isLoading: series.length > 0, hasFailed: false };
    if (this.#isStarted) this.#watchAnew();
    this.#publish();
    this.#settle();
  }

  look(view: TrendView): void {
    const before = this.#request;
    const next = { ...before, view };
    const isSameFollowing =
      view.kind === 'live' && before.view.kind === 'live' && bucketMsOf(next) === bucketMsOf(before);
    if (!isSameFollowing && (view.kind === 'live' || before.view.kind === 'live')) {
      this.#past = this.#columns();
      this.#request = next;
      this.#live = this.#freshBuckets();
      this.#known = view.kind === 'live' ? null : this.#known;
    }
    this.#request = next;
    if (!this.#hasEnough()) {
      this.#outcome = { ...this.#outcome, isLoading: seriesOf(next).length > 0 };
      this.#settle();
    }
    this.#show(view.kind === 'live' ? this.#columns() : this.#past);
  }

  start(): () => void {
    this.#isStarted = true;
    this.#watchAnew();
    const stop = this.#sources.connection.listen({
      onNews: (news) => this.#takeNews(news),
      onHole: () => this.#fetchPast(),
    });
    this.#drawOn();
    this.#settle();
    return () => {
      this.#isStarted = false;
      this.#fetching.abort();
      this.#coming = null;
      window.clearTimeout(this.#drawing);
      window.clearTimeout(this.#settling);
      this.#settling = undefined;
      stop();
      this.#unwatch();
      this.#unwatch = () => undefined;
    };
  }

  #drawOn(): void {
    const { view, buckets } = this.#request;
    const pixelMs = view.kind === 'live' ? view.spanMs / (2 * buckets) : DRAW_MS_MAX;
    this.#drawing = window.setTimeout(
      () => {
        if (this.#request.view.kind === 'live' && !document.hidden) this.#publish();
        this.#drawOn();
      },
      Math.min(DRAW_MS_MAX, Math.max(DRAW_MS_MIN, pixelMs)),
    );
  }

  #publish(): void {
    if (this.#request.view.kind === 'live') {
      holdValues(this.#live, this.#sources.stores, this.#sources.clock.nowMs());
    }
    this.#show(this.#columns());
  }

  #show(columns: ReadonlyMap<string, TrendColumns>): void {
    const window = windowOf(this.#request.view, this.#sources.clock.nowMs());
    this.state.set({ ...window, columns, ...this.#outcome });
  }

  #columns(): ReadonlyMap<string, TrendColumns> {
    const { view } = this.#request;
    if (view.kind === 'past') return this.#past;
    const startMs = stretchFor(view, this.#request.buckets, this.#sources.clock.nowMs()).fromMs;
    const joined = new Map<string, TrendColumns>();
    for (const [id, buckets] of this.#live) {
      buckets.dropBefore(startMs);
      joined.set(id, joinedColumns(this.#past.get(id) ?? EMPTY_COLUMNS, buckets.columns(), startMs));
    }
    return joined;
  }

  #freshBuckets(): Map<string, LiveBuckets> {
    const bucketMs = bucketMsOf(this.#request);
    return new Map(seriesOf(this.#request).map((id) => [id, liveBuckets(bucketMs)]));
  }

  #takeNews({ figures, readings }: LiveChanges | Snapshot): void {
    for (const { id, timeMs, value, quality } of figures) {
      this.#live.get(id)?.take(timeMs, value, value !== null && quality !== 'good');
    }
    for (const { tag, timeMs, value, quality } of readings) {
      const buckets = this.#live.get(tag);
      if (buckets === undefined) continue;
      for (const [index, time] of timeMs.entries()) {
        buckets.take(time, value[index] ?? null, quality?.[index] === 'uncertain');
      }
    }
    if (this.#isWaitingForClock) this.#fetchPast();
  }

  #hasEnough(): boolean {
    const { view, buckets } = this.#request;
    if (this.#known === null) return false;
    return fits(this.#known, view, { buckets, nowMs: this.#sources.clock.nowMs() });
  }

  #settle(): void {
    this.#settling ??= window.setTimeout(() => {
      this.#settling = undefined;
      const window = windowOf(this.#request.view, this.#sources.clock.nowMs());
      // What is on its way still helps here; when it has come, what is missing is asked for.
      if (this.#coming !== null && overlaps(this.#coming, window)) return;
      this.#fetchPast();
    }, SETTLE_MS);
  }

  #fetchPast(): void {
    this.#fetching.abort();
    this.#coming = null;
    const series = seriesOf(this.#request);
    if (!this.#isStarted || series.length === 0) return;
    // Only the first message says what the server calls the last half hour.
    this.#isWaitingForClock = this.#sources.clock.lastHeardMs() === null;
    if (this.#isWaitingForClock) return;
    this.#fetching = new AbortController();
    const { signal } = this.#fetching;
    const stretch = stretchFor(this.#request.view, this.#request.buckets, this.#sources.clock.nowMs());
    this.#coming = stretch;
    fetchColumns(series, stretch, signal).then(
      (columns) => {
        if (signal.aborted) return;
        this.#past = columns;
        this.#known = stretch;
        this.#end({ isLoading: false, hasFailed: false });
      },
      () => {
        if (!signal.aborted) this.#end({ isLoading: false, hasFailed: true });
      },
    );
  }

  #end(outcome: { readonly isLoading: boolean; readonly hasFailed: boolean }): void {
    this.#coming = null;
    const isShort = !outcome.hasFailed && !this.#hasEnough();
    this.#outcome = { ...outcome, isLoading: isShort };
    this.#publish();
    if (isShort) this.#settle();
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
