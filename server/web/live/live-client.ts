import type { Socket } from 'socket.io';
import type {
  ClientToServerEvents,
  LiveChanges,
  ServerToClientEvents,
  WatchAnswer,
} from '../../contract/socket-events.ts';
import { Fault } from '../../contract/faults.ts';
import { backlog, type Backlog } from './backlog.ts';
import type { NewestState } from './newest-state.ts';
import type { TickNews } from './tick-news.ts';
import { watchFrom, type Watch } from './watch.ts';

export type LiveClientSocket = Socket<ClientToServerEvents, ServerToClientEvents>;

/**
 * One browser at the live socket.
 *
 *     silent --watch--> waiting for its snapshot --snapshot--> current --tick--> current
 *                          ^                                     |  ^
 *                          |                     not drained at a |  | drained: all that
 *                          |                                tick  v  | waited, as one
 *                          +-- drained: "missed", a snapshot -- behind, news waits up to a bound
 *                                                               (beyond it: given up)
 *
 * Drained means that the network has taken all that was written to it. Nothing is written to a client that is
 * not, so one that stops reading costs the bound of its backlog and no more. A new watch leads back to waiting.
 */
export interface LiveClient {
  /** A wish that the client sent, whatever it is, and how to answer it, if it is one. */
  ask(request: unknown, answer: unknown): void;
  /** Before a tick's news are taken: sends how things stood until then, if that is due and there is room for it. */
  beforeTick(): void;
  /** Takes a tick's news; answers what to send with all who are current and watch the same, or null. */
  hear(news: TickNews): Watch | null;
}

/** Wishes that may come while the answers to earlier ones have not been taken. */
const ANSWERS_WAITING_MAX = 50;

export function liveClient(socket: LiveClientSocket, newest: NewestState): LiveClient {
  const client: Standing = {
    socket,
    newest,
    watch: null,
    behind: null,
    awaitsSnapshot: false,
    hadSnapshot: false,
    hadSnapshotThisTick: false,
    hasMissed: false,
    answersWaiting: 0,
  };
  return {
    ask: (request, answer) => ask(client, request, answer),
    beforeTick: () => beforeTick(client),
    hear: (news) => hear(client, news),
  };
}

interface Standing {
  readonly socket: LiveClientSocket;
  readonly newest: NewestState;
  watch: Watch | null;
  behind: Backlog | null;
  awaitsSnapshot: boolean;
  hadSnapshot: boolean;
  hadSnapshotThisTick: boolean;
  /** Readings were given up that it was due; it is told before its next snapshot. */
  hasMissed: boolean;
  answersWaiting: number;
}

/** While anything written has not been handed to the operating system, the transport says that it is not writable. */
function isDrained({ socket }: Standing): boolean {
  return socket.conn.transport.writable;
}

function ask(client: Standing, request: unknown, answer: unknown): void {
  const wasDrained = isDrained(client);
  client.answersWaiting = wasDrained ? 0 : client.answersWaiting + 1;
  if (client.answersWaiting > ANSWERS_WAITING_MAX) {
    client.socket.disconnect(true);
    return;
  }
  const refused = take(client, request);
  if (typeof answer === 'function') (answer as (result: WatchAnswer) => void)({ refused });
  // The next tick is soon enough for one who asks again and again.
  if (refused === null && wasDrained && !client.hadSnapshotThisTick) sendSnapshot(client);
}

/** Answers the refusal; a refused wish leaves the one before it in force. */
function take(client: Standing, request: unknown): string | null {
  try {
    client.watch = watchFrom(request);
  } catch (error) {
    if (error instanceof Fault) return error.message;
    throw error;
  }
  client.awaitsSnapshot = true;
  client.hasMissed ||= client.behind !== null;
  client.behind = null;
  return null;
}

function sendSnapshot(client: Standing): void {
  const snapshot = client.watch && client.newest.snapshot(client.watch);
  if (snapshot === null) return;
  if (client.hasMissed) client.socket.emit('changes', missedBefore(snapshot.timeMs));
  client.socket.emit('snapshot', snapshot);
  client.hasMissed = false;
  client.awaitsSnapshot = false;
  client.hadSnapshot = true;
  client.hadSnapshotThisTick = true;
}

function beforeTick(client: Standing): void {
  client.hadSnapshotThisTick = false;
  if (client.awaitsSnapshot && isDrained(client)) sendSnapshot(client);
}

function hear(client: Standing, news: TickNews): Watch | null {
  const { watch, behind } = client;
  if (watch === null) return null;
  if (client.awaitsSnapshot) {
    client.hasMissed ||= client.hadSnapshot;
    // At the very first tick, before which there was nothing to say.
    if (isDrained(client)) sendSnapshot(client);
    return null;
  }
  if (!isDrained(client)) {
    client.behind ??= backlog(watch);
    client.behind.add(news);
    return null;
  }
  if (behind === null) return watch;
  behind.add(news);
  catchUp(client, behind.take());
  return null;
}

/** Sends what waited, or, where that was too much, says so and sends how everything stands. */
function catchUp(client: Standing, waited: LiveChanges | null): void {
  client.behind = null;
  client.hasMissed = waited === null;
  if (waited === null) sendSnapshot(client);
  else client.socket.emit('changes', waited);
}

function missedBefore(timeMs: number): LiveChanges {
  return {
    timeMs,
    figures: [],
    readings: [],
    alarms: [],
    links: [],
    recording: null,
    flood: null,
    lots: null,
    shifts: null,
    hasMissed: true,
  };
}
