import { io, type Socket } from 'socket.io-client';
import { afterEach } from 'vitest';
import type {
  ClientToServerEvents,
  LiveChanges,
  ServerToClientEvents,
  Snapshot,
  WatchAnswer,
  WatchRequest,
} from '#server/contract/socket-events.ts';
import { startWeb, type WebServer } from '#server/web/start-web.ts';
import type { WebOptions } from '#server/web/web-options.ts';
import { eventually } from '#tests/support/eventually.ts';
import { webHouse } from '#tests/web/web-fixture.ts';

const closing: (() => unknown)[] = [];

afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

/** A server on a free port of this machine, stopped after the test. */
export async function server(changes: Partial<WebOptions> = {}): Promise<WebServer> {
  const started = await startWeb({ ...webHouse(), port: 0, ...changes });
  closing.push(() => started.stop());
  return started;
}

export type Heard =
  | { readonly event: 'snapshot'; readonly said: Snapshot }
  | { readonly event: 'changes'; readonly said: LiveChanges };

/** A browser's end of the live socket, with all that it has heard. */
export interface Listener {
  readonly socket: Socket<ServerToClientEvents, ClientToServerEvents>;
  readonly heard: readonly Heard[];
  watch(request: unknown): Promise<WatchAnswer>;
  /** Waits for so many messages since it began. */
  hears(count: number): Promise<readonly Heard[]>;
  changes(): readonly LiveChanges[];
}

export async function listener(web: WebServer, transports = ['websocket']): Promise<Listener> {
  const socket: Listener['socket'] = io(web.address, { transports, forceNew: true, reconnection: false });
  closing.push(() => socket.disconnect());
  const heard: Heard[] = [];
  socket.on('snapshot', (said) => heard.push({ event: 'snapshot', said }));
  socket.on('changes', (said) => heard.push({ event: 'changes', said }));
  await eventually('the socket connects', () => socket.connected);
  return {
    socket,
    heard,
    // What a browser sends need not be what the types say; that is what some tests are about.
    watch: (request) => socket.timeout(5000).emitWithAck('watch', request as WatchRequest),
    async hears(count) {
      await eventually(`${count} messages, of which ${heard.length} came`, () => heard.length >= count);
      return heard;
    },
    changes: () => heard.flatMap(({ event, said }) => (event === 'changes' ? [said] : [])),
  };
}

/** As long as a tick needs to reach everyone on this machine. */
export function aMoment(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 20));
}

export function watching(changes: Partial<WatchRequest> = {}): WatchRequest {
  return { figures: [], tags: [], alarms: false, ...changes };
}
