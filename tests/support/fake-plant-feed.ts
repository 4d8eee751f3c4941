import {
  createServer,
  type IncomingMessage,
  type Server as HttpServer,
  type ServerResponse,
} from 'node:http';
import type { AddressInfo } from 'node:net';
import { Server, type Socket } from 'socket.io';
import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { CommandRequest, CommandResult } from '#server/contract/commands.ts';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import type { LinkStatus, RecordingStatus } from '#server/contract/link-status.ts';
import type { PlantDescription } from '#server/contract/plant-description.ts';
import type { Quality } from '#server/contract/reading.ts';
import type {
  ClientToServerEvents,
  LiveChanges,
  ServerToClientEvents,
  WatchRequest,
} from '#server/contract/socket-events.ts';
import { CONTRACT_VERSION } from '#server/contract/version.ts';
import type { UnknownReason } from '#server/calc/unknown-reason.ts';
import { fakeAlarmBook } from './fake-alarm-book.ts';
import { answerAside } from './fake-aside.ts';
import { fakePlant, SKETCH_MACHINES, type FakeMachine } from './fake-line.ts';
import {
  ALL_KEPT,
  NO_FLOOD,
  FAKE_LOT,
  FAKE_SHIFT,
  FEED_START_MS,
  fakeFigure,
  fakeLink,
  NOTHING_CHANGED,
} from './fake-records.ts';
import { fakeHistory, type FakeHistory } from './fake-history.ts';
import { wanderingSignal, type Signal } from './fake-signal.ts';
import { jsonBody, sendJson, servePages } from './serve-pages.ts';

const TICK_MS = 250;

export interface FeedOptions {
  readonly machines?: readonly FakeMachine[];
  /** 0 takes a free port. */
  readonly port?: number;
  readonly tickMs?: number;
  /** How much faster than the clock on the wall the plant's time runs. */
  readonly speed?: number;
  readonly historyMs?: number;
}

export interface FakePlantFeed {
  readonly url: string;
  readonly plant: PlantDescription;
  readonly commands: readonly CommandRequest[];
  nowMs(): number;
  setSignal(id: string, signal: Signal): void;
  /** The value of a series by its usual signal times a factor, from now on. */
  scale(id: string, factor: number): void;
  setUnknown(figures: readonly string[], because: UnknownReason | null): void;
  setQuality(tag: string, quality: Quality): void;
  setAlarm(alarm: AlarmMessage): void;
  /** The server no longer knows it, and tells nobody. */
  forgetAlarm(id: string): void;
  setLinks(links: readonly LinkStatus[]): void;
  setRecording(recording: RecordingStatus): void;
  /** The sockets stand, and nothing is said or answered. */
  freeze(isFrozen: boolean): void;
  setHistoryDelayMs(delayMs: number): void;
  /** Ends every socket and takes no new one, as a server that is gone. */
  cut(): Promise<void>;
  mend(): Promise<void>;
  close(): Promise<void>;
}

/** Serves the built pages and speaks the contract, over an invented line whose every number is a function of time. */
export async function fakePlantFeed(options: FeedOptions = {}): Promise<FakePlantFeed> {
  const feed = new Feed(options);
  await feed.listen(options.port ?? 0);
  return feed;
}

type LiveSocket = Socket<ClientToServerEvents, ServerToClientEvents>;

class Feed implements FakePlantFeed {
  url = '';
  readonly plant: PlantDescription;
  readonly #signals = new Map<string, Signal>();
  readonly #line: ReturnType<typeof fakePlant>['line'];
  readonly #history: FakeHistory;
  readonly #unknown = new Map<string, UnknownReason>();
  readonly #quality = new Map<string, Quality>();
  readonly #book = fakeAlarmBook(
    () => this.nowMs(),
    (alarm) => this.#send({ alarms: [alarm] }, (request) => request.alarms),
  );
  readonly #watching = new Map<LiveSocket, WatchRequest>();
  readonly #startedMs = Date.now();
  readonly #speed: number;
  readonly #timer: NodeJS.Timeout;
  #recording: RecordingStatus = ALL_KEPT;
  #links: readonly LinkStatus[] = [fakeLink(FEED_START_MS - 7_200_000)];
  #historyDelayMs = 0;
  #isFrozen = false;
  #port = 0;
  #http: HttpServer | null = null;
  #sockets: Server<ClientToServerEvents, ServerToClientEvents> | null = null;

  constructor({ machines, tickMs, speed, historyMs }: FeedOptions) {
    const { plant, line } = fakePlant(machines ?? SKETCH_MACHINES);
    this.#speed = speed ?? 1;
    this.plant = plant;
    this.#line = line;
    this.#history = fakeHistory({
      plant,
      signalOf: (id) => this.#signalOf(id),
      nowMs: () => this.nowMs(),
      historyMs,
    });
    for (const [index, [id, usual]] of [...line.usual].entries()) {
      const isContact = plant.tags.some((tag) => tag.id === id && tag.unit === 'state');
      this.#signals.set(
        id,
        isContact ? () => usual : wanderingSignal({ seed: index + 1, usual, wander: 0.012 }),
      );
    }
    this.#timer = setInterval(() => this.#tick(), tickMs ?? TICK_MS);
  }

  get commands(): readonly CommandRequest[] {
    return this.#book.commands;
  }

  nowMs(): number {
    return FEED_START_MS + (Date.now() - this.#startedMs) * this.#speed;
  }

  setSignal(id: string, signal: Signal): void {
    this.#signals.set(id, signal);
  }

  scale(id: string, factor: number): void {
    const before = this.#signalOf(id);
    const sinceMs = this.nowMs();
    this.#signals.set(id, (timeMs) => {
      const value = before(timeMs);
      return value === null || timeMs < sinceMs ? value : value * factor;
    });
  }

  setUnknown(figures: readonly string[], because: UnknownReason | null): void {
    for (const id of figures) {
      if (because === null) this.#unknown.delete(id);
      else this.#unknown.set(id, because);
    }
  }

  setQuality(tag: string, quality: Quality): void {
    this.#quality.set(tag, quality);
  }

  setAlarm(alarm: AlarmMessage): void {
    this.#book.set(alarm);
  }

  forgetAlarm(id: string): void {
    this.#book.forget(id);
  }

  freeze(isFrozen: boolean): void {
    this.#isFrozen = isFrozen;
  }

  setLinks(links: readonly LinkStatus[]): void {
    this.#links = links;
    this.#send({ links }, () => true);
  }

  setRecording(recording: RecordingStatus): void {
    this.#recording = recording;
    this.#send({ recording }, () => true);
  }

  setHistoryDelayMs(delayMs: number): void {
    this.#historyDelayMs = delayMs;
  }

  async listen(port: number): Promise<void> {
    const http = createServer((request, response) => void this.#answer(request, response));
    this.#sockets = new Server(http, { serveClient: false });
    this.#sockets.on('connection', (socket) => {
      socket.on('watch', (request, answer) => {
        this.#watching.set(socket, request);
        if (this.#isFrozen) return;
        answer({ refused: null });
        this.#snapshot(socket, request);
      });
      socket.on('disconnect', () => this.#watching.delete(socket));
    });
    await new Promise<void>((resolve) => http.listen(port, '127.0.0.1', resolve));
    this.#http = http;
    this.#port = (http.address() as AddressInfo).port;
    this.url = `http://127.0.0.1:${this.#port}`;
  }

  async cut(): Promise<void> {
    await this.#sockets?.close();
    this.#http?.closeAllConnections();
    this.#sockets = null;
    this.#http = null;
  }

  mend(): Promise<void> {
    return this.listen(this.#port);
  }

  async close(): Promise<void> {
    clearInterval(this.#timer);
    await this.cut();
  }

  #tick(): void {
    if (this.#isFrozen) return;
    const timeMs = this.nowMs();
    this.#links = this.#links.map((one) => (one.state === 'live' ? { ...one, lastHeardMs: timeMs } : one));
    for (const [socket, request] of this.#watching) {
      const figures = request.figures.map((id) => this.#figure(id, timeMs));
      const readings = request.tags.map((tag) => this.#reading(tag, timeMs));
      socket.emit('changes', { ...NOTHING_CHANGED, timeMs, figures, readings, links: this.#links });
    }
  }

  #snapshot(socket: LiveSocket, request: WatchRequest): void {
    const timeMs = this.nowMs();
    socket.emit('snapshot', {
      contractVersion: CONTRACT_VERSION,
      timeMs,
      figures: request.figures.map((id) => this.#figure(id, timeMs)),
      readings: request.tags.map((tag) => this.#reading(tag, timeMs)),
      alarms: request.alarms ? this.#book.all() : [],
      links: [...this.#links],
      flood: NO_FLOOD,
      recording: this.#recording,
      lots: [FAKE_LOT],
      shifts: [FAKE_SHIFT],
    });
  }

  #figure(id: string, timeMs: number): FigureMessage {
    const because = this.#unknown.get(id) ?? null;
    const value = because === null ? this.#signalOf(id)(timeMs) : null;
    return fakeFigure({ id, timeMs, value, because, band: this.#line.bands.get(id) ?? null });
  }

  #reading(tag: string, timeMs: number) {
    const quality = this.#quality.get(tag) ?? 'good';
    const value = quality === 'bad' ? null : this.#signalOf(tag)(timeMs);
    return { tag, timeMs: [timeMs], value: [value], quality: quality === 'good' ? null : [quality] };
  }

  #signalOf(id: string): Signal {
    return this.#signals.get(id) ?? (() => null);
  }

  #send(changes: Partial<LiveChanges>, isWanted: (request: WatchRequest) => boolean): void {
    for (const [socket, request] of this.#watching) {
      if (isWanted(request)) socket.emit('changes', { ...NOTHING_CHANGED, timeMs: this.nowMs(), ...changes });
    }
  }

  async #answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(request.url ?? '/', 'http://127.0.0.1');
    const told: Record<string, unknown> = {
      '/api/plant': this.plant,
      '/api/alarms/journal': this.#book.journal,
    };
    const answer = told[url.pathname];
    if (answer !== undefined) sendJson(response, answer);
    else if (url.pathname === '/api/commands') {
      sendJson(response, this.#carryOut((await jsonBody(request)) as CommandRequest));
    } else if (await this.#answerPast(url, response)) return;
    else if (!(await answerAside(this.plant, request, response))) servePages(url.pathname, response);
  }

  #carryOut(request: CommandRequest): CommandResult {
    if (request.command.kind === 'write-mark') this.#history.mark(request, request.command.mark);
    return this.#book.carryOut(request);
  }

  /** Says whether it was a question about the past. */
  async #answerPast(url: URL, response: ServerResponse): Promise<boolean> {
    const answer = await this.#history.answer(url);
    if (answer === null) return false;
    if (url.pathname.startsWith('/api/history/')) {
      await new Promise((resolve) => setTimeout(resolve, this.#historyDelayMs));
    }
    sendJson(response, answer);
    return true;
  }
}
