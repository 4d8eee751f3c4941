import { io, type Socket } from 'socket.io-client';
import { describe, expect, it } from 'vitest';
import { figure, update } from '#tests/web/web-fixture.ts';
import { listener, server, watching } from './live-clients.ts';

const YIELD = 'line-1.line.yield';

describe('a wish that the live socket cannot grant', () => {
  it.each([
    ['no object', 7, 'watch: got 7, expected object'],
    ['nothing', null, 'watch: got null, expected object'],
    ['no tags', { figures: [], alarms: true }, 'watch.tags: got nothing, expected a value'],
    ['a tag that is a number', watching({ tags: [3 as never] }), 'watch.tags.0: got 3, expected string'],
    [
      'too many figures',
      watching({ figures: Array.from({ length: 5001 }, (_, index) => `f${index}`) }),
      /^REQUEST_INVALID watch\.figures: got \["f0",.*…, expected at most 5000 entries; /,
    ],
  ])('is refused by name, and the wish before it stays: %s', async (_, wish, text) => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(watching({ figures: [YIELD] }));
    const { refused } = await client.watch(wish);
    if (text instanceof RegExp) expect(refused).toMatch(text);
    else expect(refused).toMatch(`REQUEST_INVALID ${text}; mend it and send it again`);
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.8)] }));
    await client.hears(2);
    expect(client.changes()[0]?.figures).toEqual([figure(YIELD, 0.8)]);
  });

  it('does not end the connection when it asks for no answer', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    (client.socket as Socket).emit('watch', { figures: 3 });
    (client.socket as Socket).emit('no-such-event', {});
    expect(await client.watch(watching())).toEqual({ refused: null });
  });

  it('costs no snapshot each when it comes again and again', async () => {
    const web = await server();
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.9)] }));
    const client = await listener(web);
    const answers = Array.from({ length: 40 }, () => client.watch(watching({ figures: [YIELD] })));
    expect((await Promise.all(answers)).every(({ refused }) => refused === null)).toBe(true);
    expect(client.heard.length).toBeLessThanOrEqual(1);
    web.broadcaster.publish(update());
    expect((await client.hears(2)).map(({ event }) => event)).toEqual(['snapshot', 'snapshot']);
  });
});

describe('a socket from elsewhere', () => {
  it.each([
    ['another site’s page', { origin: 'https://elsewhere.example' }],
    ['a name that points here', { host: 'elsewhere.example', origin: 'http://elsewhere.example' }],
  ])('is not opened for %s', async (_, extraHeaders) => {
    const web = await server();
    const socket = io(web.address, {
      transports: ['websocket'],
      forceNew: true,
      reconnection: false,
      extraHeaders,
    });
    const error = await new Promise<Error>((resolve) => socket.once('connect_error', resolve));
    expect(error.message).toBe('websocket error');
    socket.disconnect();
  });

  it('is told why, and is not given leave to read by polling', async () => {
    const web = await server();
    const headers = { origin: 'https://elsewhere.example' };
    const answer = await fetch(`${web.address}/socket.io/?EIO=4&transport=polling`, { headers });
    const body = await answer.text();
    expect(answer.status).toBe(403);
    expect(answer.headers.get('access-control-allow-origin')).toBeNull();
    expect(body).toContain('REQUEST_FOREIGN header Origin: got \\"https://elsewhere.example\\"');
  });
});
