import fc from 'fast-check';
import { connect } from 'node:net';
import { once } from 'node:events';
import { describe, expect, it } from 'vitest';
import { mutated, oddText } from '#tests/support/mutations.ts';
import { figure, update } from '#tests/web/web-fixture.ts';
import { listener, server, watching } from './live-clients.ts';

const YIELD = 'line-1.line.yield';
const WISH = watching({ figures: [YIELD], tags: ['line-1.intake.mass-flow'], alarms: true });
const REFUSAL = /^REQUEST_INVALID watch.*: got .+, expected .+; .+$/su;

describe('whatever comes over the live socket', () => {
  it('is answered as a wish or refused with a reason', async () => {
    const web = await server();
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.9)] }));
    const client = await listener(web);
    let refusedCount = 0;
    const runs = 500;
    await fc.assert(
      fc.asyncProperty(mutated(fc.constant(WISH)), async (wish) => {
        const { refused } = await client.watch(wish);
        if (refused === null) return;
        refusedCount += 1;
        expect(refused).toMatch(REFUSAL);
      }),
      { numRuns: runs },
    );
    expect(refusedCount).toBeGreaterThan(runs / 4);
    expect(refusedCount).toBeLessThan(runs);
    expect(client.socket.connected).toBe(true);
  });

  it('harms no one else when it is not even the protocol', async () => {
    const web = await server();
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.9)] }));
    const healthy = await listener(web);
    await healthy.watch(WISH);
    const port = Number(new URL(web.address).port);
    const packet = fc.oneof(
      oddText,
      fc.constantFrom(
        '40',
        '42',
        '42["watch"]',
        '42["watch",{}]',
        '420["watch"]',
        '451-["watch",{"_placeholder":true,"num":0}]',
        '4',
        '1',
        '41',
        '44',
        '42{"a":1}',
        `42${'['.repeat(2000)}`,
        '42["__proto__",{}]',
        '42["disconnect"]',
      ),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(packet, { maxLength: 6 }), async (packets) => {
        await sayAndLeave(port, packets);
      }),
      { numRuns: 150 },
    );
    const before = healthy.changes().length;
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.5)] }));
    await healthy.hears(before + 2);
    expect(healthy.changes().at(-1)?.figures).toEqual([figure(YIELD, 0.5)]);
    const late = await listener(web);
    expect(await late.watch(WISH)).toEqual({ refused: null });
  });
});

/** Opens a web socket by hand, says these as text frames, and leaves when the server ends it or has been silent. */
async function sayAndLeave(port: number, packets: readonly string[]): Promise<void> {
  const socket = connect({ port, host: '127.0.0.1' });
  socket.on('error', () => undefined);
  const greeted = once(socket, 'data');
  socket.write(
    `GET /socket.io/?EIO=4&transport=websocket HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nConnection: Upgrade\r\n` +
      'Upgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n',
  );
  await greeted;
  for (const packet of packets) socket.write(maskedText(packet));
  await new Promise((resolve) => setTimeout(resolve, 10));
  socket.destroy();
}

/** A final text frame with a mask of zeros, per RFC 6455, 5.2. */
function maskedText(text: string): Buffer {
  const payload = Buffer.from(text);
  const head = Buffer.from([0x81, 0x80 | 126, payload.length >> 8, payload.length & 0xff, 0, 0, 0, 0]);
  return Buffer.concat([head, payload]);
}
