import { Fault, type FaultParts, type FaultCode } from '../contract/faults.ts';
import type { Broadcaster } from '../ports/broadcaster.ts';
import { buildApp } from './build-app.ts';
import { liveSocket } from './live/live-socket.ts';
import { newestState } from './live/newest-state.ts';
import type { WebApp } from './web-house.ts';
import { LOOPBACK, type WebOptions } from './web-options.ts';

export interface WebServer {
  /** For a person to open. */
  readonly address: string;
  readonly broadcaster: Broadcaster;
  /** Closes every connection, and the port; resolves when it is free. */
  stop(): Promise<void>;
}

/**
 * Serves the pages, the API and the live socket.
 *
 * @throws Fault PORT_TAKEN, or ARGUMENT_INVALID for a host or port that cannot be listened on
 */
export async function startWeb({ host = LOOPBACK, port, ...rest }: WebOptions): Promise<WebServer> {
  const house = { ...rest, host, newest: newestState(rest.clock) };
  const app = await buildApp(house);
  const live = liveSocket(app.server, house);
  const stop = async () => {
    live.stop();
    await app.close();
  };
  try {
    await app.listen({ host, port });
  } catch (error) {
    await stop();
    throw listenFault(error, host, port);
  }
  return { address: addressOf(app, host), broadcaster: live, stop };
}

function addressOf(app: WebApp, host: string): string {
  const bound = app.server.address();
  if (bound === null || typeof bound === 'string') throw new Error('A listening server has a port.');
  const isEverywhere = host === '0.0.0.0' || host === '::';
  const name = isEverywhere ? 'localhost' : host;
  return `http://${name.includes(':') ? `[${name}]` : name}:${bound.port}`;
}

/** What a person can do about a port or host that cannot be had; anything else stays what it is. */
function listenFault(error: unknown, host: string, port: number): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  const faults: Readonly<Record<string, readonly [FaultCode, FaultParts]>> = {
    EADDRINUSE: [
      'PORT_TAKEN',
      {
        subject: 'port',
        got: `${port}, in use`,
        expected: 'a free port',
        remedy: 'stop the other program, or start with --port and another number; server not started',
      },
    ],
    EACCES: [
      'ARGUMENT_INVALID',
      {
        subject: 'port',
        got: `${port}, reserved`,
        expected: 'a port that this user may open',
        remedy: 'start with --port and a number from 1024; server not started',
      },
    ],
    EADDRNOTAVAIL: [
      'ARGUMENT_INVALID',
      {
        subject: 'host',
        got: host,
        expected: 'an address of this machine',
        remedy: 'start with --host and one that this machine has; server not started',
      },
    ],
  };
  const fault = typeof code === 'string' ? faults[code] : undefined;
  return fault === undefined ? error : new Fault(fault[0], fault[1], { cause: error });
}
