import { io, type Socket } from 'socket.io-client';
import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { FigureMessage } from '#server/contract/figure-message.ts';
import type { LinkStatus } from '#server/contract/link-status.ts';
import type { PlantDescription } from '#server/contract/plant-description.ts';
import type { ClientToServerEvents, ServerToClientEvents } from '#server/contract/socket-events.ts';

/** What a browser would know: the newest of everything, and how it came. */
export interface LiveClient {
  readonly plant: PlantDescription;
  readonly figures: ReadonlyMap<string, FigureMessage>;
  readonly alarms: ReadonlyMap<string, AlarmMessage>;
  readonly links: ReadonlyMap<string, LinkStatus>;
  /** Every figure message since the beginning, in order. */
  readonly said: readonly FigureMessage[];
  close(): void;
}

/** Connects as a browser does and watches every figure and alarm; reconnects by itself. */
export async function watchEverything(address: string): Promise<LiveClient> {
  const plant = (await (await fetch(`${address}/api/plant`)).json()) as PlantDescription;
  const figures = new Map<string, FigureMessage>();
  const alarms = new Map<string, AlarmMessage>();
  const links = new Map<string, LinkStatus>();
  const said: FigureMessage[] = [];
  const socket: Socket<ServerToClientEvents, ClientToServerEvents> = io(address, {
    transports: ['websocket'],
  });
  const take = (news: {
    figures: readonly FigureMessage[];
    alarms: readonly AlarmMessage[];
    links: readonly LinkStatus[];
  }) => {
    for (const figure of news.figures) figures.set(figure.id, figure);
    for (const alarm of news.alarms) alarms.set(alarm.id, alarm);
    for (const link of news.links) links.set(link.endpoint, link);
    said.push(...news.figures);
  };
  socket.on('snapshot', take);
  socket.on('changes', take);
  socket.on('connect', () => {
    const watched = { figures: plant.figures.map(({ id }) => id), tags: [], alarms: true };
    socket.emit('watch', watched, () => undefined);
  });
  return { plant, figures, alarms, links, said, close: () => void socket.disconnect() };
}
