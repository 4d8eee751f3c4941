import { io, type Socket } from 'socket.io-client';
import type {
  ClientToServerEvents,
  LiveChanges,
  ServerToClientEvents,
  Snapshot,
} from '../../server/contract/socket-events.ts';
import { CONTRACT_VERSION } from '../../server/contract/version.ts';
import { takeChanges, takeSnapshot, type LiveStores } from './live-stores.ts';
import type { ServerClock } from './server-clock.ts';
import { watchList, type WatchList } from './watch-list.ts';

/** Wishes that come together, as when a view opens, go to the server as one. */
const WATCH_DELAY_MS = 30;
/** A healthy server speaks several times a second; after this silence it is asked whether it is there. */
const SILENCE_MS = 4000;
/** How long it may take to answer that question. */
const ANSWER_MS = 3000;
const PULSE_MS = 1000;

/** Everything a chart needs to follow: each message as it comes, and when a hole must be fetched from history. */
export interface LiveListener {
  /** A snapshot or changes have been taken into the stores. */
  readonly onNews: (news: LiveChanges | Snapshot) => void;
  /** What came before this moment may be incomplete: fetch it again. */
  readonly onHole: () => void;
}

export interface LiveConnection {
  readonly watch: WatchList;
  readonly listen: (listener: LiveListener) => () => void;
  readonly close: () => void;
}

/** Keeps one socket to the server, whatever happens to it, and the stores true to what it says. */
export function liveConnection(stores: LiveStores, clock: ServerClock): LiveConnection {
  const kept = new KeptConnection(stores, clock);
  return {
    watch: kept.watch,
    listen: (listener) => kept.listen(listener),
    close: () => kept.close(),
  };
}

class KeptConnection {
  readonly watch: WatchList = watchList(() => this.#scheduleWatch());
  readonly #stores: LiveStores;
  readonly #clock: ServerClock;
  readonly #listeners = new Set<LiveListener>();
  readonly #socket: Socket<ServerToClientEvents, ClientToServerEvents>;
  readonly #pulse: number;
  #watchTimer: number | undefined;
  #lastHeardMs = performance.now();
  #isAsking = false;

  constructor(stores: LiveStores, clock: ServerClock) {
    this.#stores = stores;
    this.#clock = clock;
    this.#socket = io({
      transports: ['websocket', 'polling'],
      reconnectionDelay: 500,
      reconnectionDelayMax: 2000,
    });
    this.#socket.on('connect', () => this.#ask());
    this.#socket.on('disconnect', () => this.#lose());
    this.#socket.on('snapshot', (snapshot) => this.#takeSnapshot(snapshot));
    this.#socket.on('changes', (changes) => this.#takeChanges(changes));
    this.#pulse = window.setInterval(() => this.#checkSilence(), PULSE_MS);
  }

  listen(listener: LiveListener): () => void {
    this.#listeners.add(listener);
    return () => void this.#listeners.delete(listener);
  }

  close(): void {
    window.clearInterval(this.#pulse);
    window.clearTimeout(this.#watchTimer);
    this.#socket.disconnect();
  }

  #scheduleWatch(): void {
    this.#watchTimer ??= window.setTimeout(() => {
      this.#watchTimer = undefined;
      if (this.#socket.connected) this.#ask();
    }, WATCH_DELAY_MS);
  }

  #ask(): void {
    this.#isAsking = true;
    const request = { figures: this.watch.figures(), tags: this.watch.tags(), alarms: true };
    this.#socket.timeout(ANSWER_MS).emit('watch', request, (error: Error | null) => {
      this.#isAsking = false;
      if (error === null) this.#lastHeardMs = performance.now();
      else this.#lose();
    });
  }

  #takeSnapshot(snapshot: Snapshot): void {
    this.#hear(snapshot.timeMs);
    takeSnapshot(this.#stores, snapshot);
    this.#becomeLive(snapshot.contractVersion !== CONTRACT_VERSION);
    for (const listener of this.#listeners) listener.onNews(snapshot);
  }

  #takeChanges(changes: LiveChanges): void {
    this.#hear(changes.timeMs);
    takeChanges(this.#stores, changes);
    // A server that was silent and speaks again knows more than these changes: ask how everything stands.
    if (this.#stores.connection.get().state === 'lost' && !this.#isAsking) this.#ask();
    for (const listener of this.#listeners) {
      listener.onNews(changes);
      if (changes.hasMissed) listener.onHole();
    }
  }

  #hear(timeMs: number): void {
    this.#lastHeardMs = performance.now();
    this.#clock.hear(timeMs);
  }

  #becomeLive(isOutdated: boolean): void {
    const before = this.#stores.connection.get();
    if (before.state === 'live' && before.isOutdated === isOutdated) return;
    this.#stores.connection.set({ state: 'live', sinceMs: null, isOutdated });
    if (before.state !== 'lost') return;
    for (const listener of this.#listeners) listener.onHole();
  }

  #lose(): void {
    const before = this.#stores.connection.get();
    if (before.state !== 'live') return;
    this.#stores.connection.set({ ...before, state: 'lost', sinceMs: this.#clock.lastHeardMs() });
  }

  #checkSilence(): void {
    const silentMs = performance.now() - this.#lastHeardMs;
    if (silentMs > SILENCE_MS + ANSWER_MS) this.#lose();
    if (silentMs > SILENCE_MS && this.#socket.connected && !this.#isAsking) this.#ask();
  }
}
