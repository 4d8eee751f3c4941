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
  onNews(changes: LiveChanges | Snapshot): void;
  /** What came before this moment may be incomplete: fetch it again. */
  onHole(): void;
}

export interface LiveConnection {
  readonly watch: WatchList;
  listen(listener: LiveListener): () => void;
  close(): void;
}

/** Keeps one socket to the server, whatever happens to it, and the stores true to what it says. */
export function liveConnection(stores: LiveStores, clock: ServerClock): LiveConnection {
  const socket: Socket<ServerToClientEvents, ClientToServerEvents> = io({
    transports: ['websocket', 'polling'],
    reconnectionDelay: 500,
    reconnectionDelayMax: 2000,
  });
  const listeners = new Set<LiveListener>();
  const watch = watchList(() => scheduleWatch());
  let lastHeardMs = performance.now();
  let watchTimer: number | undefined;
  let isAsking = false;

  function scheduleWatch() {
    watchTimer ??= window.setTimeout(() => {
      watchTimer = undefined;
      if (socket.connected) ask();
    }, WATCH_DELAY_MS);
  }

  function ask() {
    isAsking = true;
    const request = { figures: watch.figures(), tags: watch.tags(), alarms: true };
    socket.timeout(ANSWER_MS).emit('watch', request, (error: Error | null) => {
      isAsking = false;
      if (error === null) heard();
      else lose();
    });
  }

  function heard() {
    lastHeardMs = performance.now();
  }

  function lose() {
    const before = stores.connection.get();
    if (before.state === 'live')
      stores.connection.set({ ...before, state: 'lost', sinceMs: clock.lastHeardMs() });
  }

  function isLive(isOutdated: boolean) {
    const before = stores.connection.get();
    if (before.state === 'live' && before.isOutdated === isOutdated) return;
    stores.connection.set({ state: 'live', sinceMs: null, isOutdated });
    if (before.state === 'lost') for (const listener of listeners) listener.onHole();
  }

  socket.on('connect', ask);
  socket.on('disconnect', lose);
  socket.on('snapshot', (snapshot) => {
    heard();
    clock.hear(snapshot.timeMs);
    takeSnapshot(stores, snapshot);
    isLive(snapshot.contractVersion !== CONTRACT_VERSION);
    for (const listener of listeners) listener.onNews(snapshot);
  });
  socket.on('changes', (changes) => {
    heard();
    clock.hear(changes.timeMs);
    takeChanges(stores, changes);
    for (const listener of listeners) {
      listener.onNews(changes);
      if (changes.hasMissed) listener.onHole();
    }
  });

  const pulse = window.setInterval(() => {
    const silentMs = performance.now() - lastHeardMs;
    if (silentMs > SILENCE_MS + ANSWER_MS) lose();
    if (silentMs > SILENCE_MS && socket.connected && !isAsking) ask();
  }, PULSE_MS);

  return {
    watch,
    listen(listener) {
      listeners.add(listener);
      return () => void listeners.delete(listener);
    },
    close() {
      window.clearInterval(pulse);
      window.clearTimeout(watchTimer);
      socket.disconnect();
    },
  };
}
