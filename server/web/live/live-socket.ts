import type { Server as HttpServer } from 'node:http';
import { Server } from 'socket.io';
import { faultText } from '../../contract/faults.ts';
import type {
  ClientToServerEvents,
  LiveChanges,
  ServerToClientEvents,
} from '../../contract/socket-events.ts';
import type { Broadcaster } from '../../ports/broadcaster.ts';
import { foreignRequest } from '../foreign-request.ts';
import { gotText } from '../misfit.ts';
import type { WebHouse } from '../web-house.ts';
import { liveClient, type LiveClient } from './live-client.ts';
import { changesFor, type TickNews } from './tick-news.ts';
import { TEXT_PARSER } from './text-parser.ts';
import type { Watch } from './watch.ts';

export interface LiveSocket extends Broadcaster {
  stop(): void;
}

const CLIENTS_MAX = 500;
/** A `watch` of ten thousand ids fits. */
const MESSAGE_BYTES_MAX = 1_000_000;
/** Within the sum of both, a client that is gone without a word is given up. */
const PING = { pingInterval: 10_000, pingTimeout: 10_000 };
/** A client that watches what stands still hears this often that the server is there. */
const QUIET_MS_MAX = 1000;

/**
 * The live socket, as `server/contract/socket-protocol.md` describes it. Clients that are current and watch the
 * same are told together: the message is made and encoded once for all of them.
 */
export function liveSocket(server: HttpServer, house: WebHouse): LiveSocket {
  const io = new Server<ClientToServerEvents, ServerToClientEvents>(server, {
    ...PING,
    maxHttpBufferSize: MESSAGE_BYTES_MAX,
    serveClient: false,
    parser: TEXT_PARSER,
    // On a plant's own network a byte is cheaper than the time to squeeze it, for each client anew.
    perMessageDeflate: false,
    httpCompression: false,
    allowRequest: (request, decide) => {
      const foreign = foreignRequest(request.headers, house.host, false);
      const isFull = io.engine.clientsCount >= CLIENTS_MAX;
      if (foreign !== null) decide(faultText('REQUEST_FOREIGN', foreign), false);
      else decide(isFull ? 'too many clients' : null, !isFull);
    },
  });
  const clients = new Map<string, LiveClient>();

  io.on('connection', (socket) => {
    const client = liveClient(socket, house.newest);
    clients.set(socket.id, client);
    socket.on('disconnect', () => clients.delete(socket.id));
    socket.on('watch', (request: unknown, answer: unknown) => {
      try {
        client.ask(request, answer);
      } catch (error) {
        house.log.error({ err: error }, failedText(request));
        socket.disconnect(true);
      }
    });
  });

  return {
    publish: publisher(house, clients, (ids, changes) => io.to([...ids]).emit('changes', changes)),
    stop() {
      io.disconnectSockets(true);
      io.engine.close();
    },
  };
}

type Tell = (ids: readonly string[], changes: LiveChanges) => void;

function publisher(
  house: WebHouse,
  clients: ReadonlyMap<string, LiveClient>,
  tell: Tell,
): Broadcaster['publish'] {
  const toldAtTick = new WeakMap<LiveClient, number>();
  const quietTicksMax = Math.ceil(QUIET_MS_MAX / house.plant.tickMs);
  let tick = 0;

  return (update) => {
    tick += 1;
    for (const client of clients.values()) client.beforeTick();
    const news = house.newest.take(update);
    for (const { watch, members } of groupsOf(news).values()) {
      const changes = changesFor(watch, news);
      const isQuiet = isEmpty(changes);
      const due = members.filter(
        ({ client }) => !isQuiet || tick - (toldAtTick.get(client) ?? 0) >= quietTicksMax,
      );
      if (due.length === 0) continue;
      tell(
        due.map(({ id }) => id),
        changes,
      );
      for (const { client } of due) toldAtTick.set(client, tick);
    }
  };

  /** Those who are current, by what they watch. */
  function groupsOf(news: TickNews) {
    const groups = new Map<string, Group>();
    for (const [id, client] of clients) {
      const watch = client.hear(news);
      if (watch === null) continue;
      const group = groups.get(watch.key);
      if (group === undefined) groups.set(watch.key, { watch, members: [{ id, client }] });
      else group.members.push({ id, client });
    }
    return groups;
  }
}

interface Group {
  readonly watch: Watch;
  readonly members: { readonly id: string; readonly client: LiveClient }[];
}

function isEmpty({ figures, readings, alarms, links, ...whole }: LiveChanges): boolean {
  const { recording, flood, lots, shifts } = whole;
  const hasLists = [figures, readings, alarms, links].some((list) => list.length > 0);
  return !hasLists && [recording, flood, lots, shifts].every((told) => told === null);
}

function failedText(request: unknown): string {
  return faultText('REQUEST_FAILED', {
    subject: 'watch',
    got: gotText(request),
    expected: 'an answer',
    remedy: 'the client was disconnected',
  });
}
