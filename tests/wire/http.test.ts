import { once } from 'node:events';
import { get } from 'node:http';
import { connect, createServer } from 'node:net';
import { describe, expect, it } from 'vitest';
import type { SampleStore } from '#server/ports/sample-store.ts';
import { ClientGone } from '#server/web/client-gone.ts';
import { startWeb } from '#server/web/start-web.ts';
import { eventually } from '#tests/support/eventually.ts';
import { memorySampleStore } from '#tests/support/memory-sample-store.ts';
import { PLANT, update, webHouse } from '#tests/web/web-fixture.ts';
import { listener, server, watching } from './live-clients.ts';

const FLOW = { series: 1, unit: 'kg/h', interpolation: 'linear' } as const;
const QUESTIONS = ['thinned?series=a&fromMs=0&toMs=9&buckets=9', 'raw?series=a&fromMs=0&toMs=9'];

/** A history that answers nothing until it is told to stop, and notes what it was told. */
function endlessSamples() {
  const asked: AbortSignal[] = [];
  async function* endless(_: unknown, signal: AbortSignal): AsyncGenerator<never> {
    asked.push(signal);
    await new Promise((_resolve, reject) => {
      signal.addEventListener('abort', () => reject(signal.reason as Error));
    });
    yield* [];
  }
  const samples: SampleStore = { ...memorySampleStore(), thinned: endless, raw: endless };
  return { samples, asked };
}

/** What the server says to bytes that are no request it can read, until it ends the connection. */
async function say(port: number, bytes: string): Promise<string> {
  const socket = connect({ port, host: '127.0.0.1' });
  let said = '';
  socket.on('data', (heard: Buffer) => (said += heard.toString()));
  socket.on('error', () => undefined); // Ending on bytes still under way is a reset; what was said counts.
  socket.write(bytes);
  await once(socket, 'close');
  return said;
}

describe('startWeb', () => {
  it('prints an address that answers, on this machine alone', async () => {
    const web = await server();
    expect(web.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/);
    expect(await (await fetch(`${web.address}/api/plant`)).json()).toEqual(PLANT);
  });

  it('says that the port is taken, and by which argument to choose another', async () => {
    const other = createServer().listen(0, '127.0.0.1');
    await once(other, 'listening');
    const address = other.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    await expect(startWeb({ ...webHouse(), port })).rejects.toThrow(
      `PORT_TAKEN port: got ${port}, in use, expected a free port; stop the other program, or start with --port ` +
        'and another number; server not started',
    );
    other.close();
  });

  it('says that a host is not one of this machine', async () => {
    // 192.0.2.0/24 is set aside for documentation, per RFC 5737; no machine has it.
    await expect(startWeb({ ...webHouse(), host: '192.0.2.1', port: 0 })).rejects.toThrow(
      'ARGUMENT_INVALID host: got 192.0.2.1, expected an address of this machine; start with --host and one that ' +
        'this machine has; server not started',
    );
  });

  it('stops at once although browsers are connected and a question is being answered, and frees the port', async () => {
    const { samples, asked } = endlessSamples();
    const web = await startWeb({ ...webHouse({ samples, seriesOf: () => FLOW }), port: 0 });
    const client = await listener(web);
    await client.watch(watching());
    web.broadcaster.publish(update());
    const unanswered = fetch(`${web.address}/api/history/${QUESTIONS[0]}`).catch((error: unknown) => error);
    await eventually('the question is asked', () => asked.length === 1);

    const beganMs = performance.now();
    await web.stop();
    expect(performance.now() - beganMs).toBeLessThan(2000);
    expect(await unanswered).toBeInstanceOf(Error);
    expect(asked[0]?.aborted).toBe(true);
    await eventually('the socket is told', () => !client.socket.connected);
    const again = await startWeb({ ...webHouse(), port: Number(new URL(web.address).port) });
    await again.stop();
  });
});

describe('a question whose asker goes away', () => {
  it.each(QUESTIONS)('is given up, and leaves the server answering: %s', async (question) => {
    const { samples, asked } = endlessSamples();
    const web = await server({ samples, seriesOf: () => FLOW });
    const request = get(`${web.address}/api/history/${question}`);
    request.on('error', () => undefined);
    await eventually('the question reaches the history', () => asked.length === 1);
    expect(asked[0]?.aborted).toBe(false);
    request.destroy();
    await eventually('the history is told to stop', () => asked[0]?.aborted === true);
    expect(asked[0]?.reason).toBeInstanceOf(ClientGone);
    expect((await fetch(`${web.address}/api/plant`)).status).toBe(200);
  });

  it('is not given up when its answer has been sent', async () => {
    const signals: AbortSignal[] = [];
    const samples: SampleStore = {
      ...memorySampleStore(),
      async *thinned(_, signal) {
        await Promise.resolve();
        signals.push(signal);
        yield* [];
      },
    };
    const web = await server({ samples, seriesOf: () => FLOW });
    const answer = await fetch(`${web.address}/api/history/${QUESTIONS[0]}`);
    expect(await answer.json()).toMatchObject({ fromMs: 0, toMs: 9, series: [{ series: 'a', timeMs: [] }] });
    await new Promise((resolve) => setTimeout(resolve, 50));
    expect(signals.map(({ aborted }) => aborted)).toEqual([false]);
  });
});

describe('bytes that are no request', () => {
  const END = 'Connection: close\r\n\r\n';
  it.each([
    [
      'no HTTP',
      'GIVE me the plant\r\n\r\n',
      /^HTTP\/1\.1 400 /,
      'REQUEST_INVALID request: got .+, expected .+; .+',
    ],
    [
      'no host',
      `GET /api/plant HTTP/1.1\r\n${END}`,
      /^HTTP\/1\.1 403 /,
      'REQUEST_FOREIGN header Host: got nothing, .+',
    ],
    [
      'headers without end',
      `GET / HTTP/1.1\r\nHost: localhost\r\nX: ${'x'.repeat(20_000)}`,
      /^HTTP\/1\.1 431 /,
      'REQUEST_INVALID request: got .+, expected .+; .+',
    ],
    [
      'an address that cannot be read',
      `GET /api/%zz HTTP/1.1\r\nHost: localhost\r\n${END}`,
      /^HTTP\/1\.1 400 /,
      "REQUEST_INVALID request: got '/api/%zz' is not a valid url component, expected .+; .+",
    ],
  ])('are refused in the one form: %s', async (...[, bytes, status, text]) => {
    const web = await server();
    const said = await say(Number(new URL(web.address).port), bytes);
    expect(said).toMatch(status);
    expect(said).toMatch(new RegExp(`\\{"error":"${text}"\\}$`));
    expect((await fetch(`${web.address}/api/plant`)).status).toBe(200);
  });
});
