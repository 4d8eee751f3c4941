import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { SimulatorFault } from '../fault.ts';
import { controlPage, type ListedUpset } from './control-page.ts';

/** What the control page can ask of the running simulator. */
export interface Controls {
  list(): readonly ListedUpset[];
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
 *     GET  /                    the page for people
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
  if (!isFromHere(request)) {
    reply(response, 403, { error: 'this page is for this machine alone' });
  } else if (request.method === 'POST') {
    change(request, response, { path, controls });
  } else if (path === '/') {
    response.writeHead(200, { 'content-type': 'text/html; charset=utf-8', 'cache-control': 'no-store' });
    response.end(controlPage(controls.list()));
  } else if (path === '/upsets') {
    reply(response, 200, controls.list());
  } else {
    reply(response, 404, { error: `no such page: ${path}` });
  }
}

/** Another site open in the same browser must not be able to press these buttons. */
function isFromHere({ headers }: IncomingMessage): boolean {
  const host = headers.host ?? '';
  const isLoopback = /^(127\.0\.0\.1|localhost)(:\d+)?$/.test(host);
  return isLoopback && (headers.origin === undefined || headers.origin === `http://${host}`);
}

interface Change {
  readonly path: string;
  readonly controls: Controls;
}

function change(request: IncomingMessage, response: ServerResponse, { path, controls }: Change): void {
  const [, upset, action] = /^\/upsets\/([a-z0-9-]+)\/(begin|end)$/.exec(path) ?? [];
  if (upset === undefined) {
    reply(response, 404, { error: `no such page: ${path}` });
    return;
  }
  try {
    if (action === 'begin') controls.begin(upset);
    else controls.end(upset);
  } catch (error) {
    reply(response, 400, { error: error instanceof Error ? error.message : String(error) });
    return;
  }
  if (request.headers.accept?.includes('text/html') === true) {
    response.writeHead(303, { location: '/' }).end();
  } else {
    reply(response, 200, controls.list());
  }
}

function reply(response: ServerResponse, status: number, body: unknown): void {
  response.writeHead(status, { 'content-type': 'application/json; charset=utf-8' });
  response.end(JSON.stringify(body));
}
