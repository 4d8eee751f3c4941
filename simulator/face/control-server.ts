import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { SimulatorFault } from '../fault.ts';

/** What the control page can ask of the running simulator. */
export interface Controls {
  list(): readonly { readonly name: string; readonly title: string; readonly isPlaying: boolean }[];
  begin(name: string): void;
  end(name: string): void;
}

export interface ControlServer {
  close(): Promise<void>;
}

const LOOPBACK = '127.0.0.1';

/**
 * Serves the simulator's own controls on loopback. They belong to the simulator alone: nothing that watches the
 * plant talks to them.
 *
 *     GET  /upsets              what can be played and what is being played
 *     POST /upsets/<name>/begin
 *     POST /upsets/<name>/end
 */
export async function openControlServer(port: number, controls: Controls): Promise<ControlServer> {
  const server = createServer((request, response) => {
    answer(request, response, controls);
  });
  await listen(server, port);
  return {
    close: () =>
      new Promise((resolve) => {
        server.close(() => {
          resolve();
        });
        server.closeAllConnections();
      }),
  };
}

function listen(server: Server, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', (cause) => {
      reject(
        new SimulatorFault(
          {
            code: 'SIM_PORT',
            subject: `${LOOPBACK}:${port}`,
            got: cause.message,
            expected: 'a free port',
            remedy: 'stop what uses it or choose another with --control-port',
          },
          cause,
        ),
      );
    });
    server.listen(port, LOOPBACK, resolve);
  });
}

function answer(request: IncomingMessage, response: ServerResponse, controls: Controls): void {
  const path = new URL(request.url ?? '/', `http://${LOOPBACK}`).pathname;
  const [, upset, action] = /^\/upsets\/([a-z0-9-]+)\/(begin|end)$/.exec(path) ?? [];
  try {
    if (request.method === 'GET' && path === '/upsets') return reply(response, 200, controls.list());
    if (request.method !== 'POST' || upset === undefined)
      return reply(response, 404, { error: `no such page: ${path}` });
    if (action === 'begin') controls.begin(upset);
    else controls.end(upset);
    return reply(response, 200, controls.list());
  } catch (error) {
    return reply(response, 400, { error: error instanceof Error ? error.message : String(error) });
  }
}

function reply(response: ServerResponse, status: number, body: unknown): void {
  response.writeHead(status, { 'content-type': 'application/json; charset=utf-8' });
  response.end(JSON.stringify(body));
}
