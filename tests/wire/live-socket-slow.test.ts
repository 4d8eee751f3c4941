import { afterEach, describe, expect, it } from 'vitest';
import type { LiveChanges, Snapshot } from '#server/contract/socket-events.ts';
import { WAITING_READINGS_MAX } from '#server/web/live/backlog.ts';
import type { WebServer } from '#server/web/start-web.ts';
import { eventually } from '#tests/support/eventually.ts';
import { SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { alarm, figure, reading, TICK_MS, update } from '#tests/web/web-fixture.ts';
import { aMoment, listener, server, watching } from './live-clients.ts';
import { stalledClient, type StalledClient } from './stalled-client.ts';

const TAGS = Array.from({ length: 2000 }, (_, index) => `line-1.machine-${index}.signal`);
const YIELD = 'line-1.line.yield';
const WISH = watching({ figures: [YIELD], tags: TAGS, alarms: true });
const MEGABYTE = 2 ** 20;

const stalled: StalledClient[] = [];
afterEach(() => {
  for (const { socket } of stalled.splice(0)) socket.destroy();
});

async function stalledAt(web: WebServer): Promise<StalledClient> {
  const client = await stalledClient(Number(new URL(web.address).port));
  stalled.push(client);
  client.watchAndStall(WISH);
  return client;
}

/** One tick in which every tag has a new reading. */
function publishTick(web: WebServer, tick: number): void {
  const timeMs = SHIFT_START_MS + tick * TICK_MS;
  web.broadcaster.publish(
    update({
      timeMs,
      figures: [figure(YIELD, tick, timeMs)],
      readings: TAGS.map((tag) => reading(tag, tick, timeMs)),
      alarms: [alarm(`alarm-${tick % 3}`, tick % 2 === 0 ? 'normal' : 'unacknowledged')],
    }),
  );
}

/** Enough for the operating system's own buffers on both sides to be full. */
const TICKS_UNTIL_FULL = 120;

async function runTicks(web: WebServer, from: number, to: number): Promise<void> {
  for (let tick = from; tick < to; tick++) {
    publishTick(web, tick);
    await aMoment();
  }
}

function changesIn(client: StalledClient): readonly LiveChanges[] {
  return client.messages.flatMap(({ event, said }) => (event === 'changes' ? [said as LiveChanges] : []));
}

function snapshotsIn({ messages }: StalledClient): number {
  return messages.filter(({ event }) => event === 'snapshot').length;
}

describe('a client that stops reading', () => {
  it('slows no other: those beside it hear every tick, whole and in order', async () => {
    const web = await server();
    publishTick(web, 0);
    const slow = await stalledAt(web);
    const fast = await listener(web);
    await fast.watch(WISH);
    await fast.hears(1);
    await runTicks(web, 1, TICKS_UNTIL_FULL);
    await fast.hears(TICKS_UNTIL_FULL);
    const heard = fast.changes();
    expect(heard.map(({ figures }) => figures[0]?.value)).toEqual(
      Array.from({ length: TICKS_UNTIL_FULL - 1 }, (_, index) => index + 1),
    );
    expect(heard.every(({ readings, hasMissed }) => readings.length === TAGS.length && !hasMissed)).toBe(
      true,
    );
    expect(slow.messages).toEqual([]);
    slow.read();
    await eventually('it hears what it was told', () => slow.messages.length > 1);
  });

  it('is told, once it reads again, that it has missed, then how all stands, then only what is new', async () => {
    const web = await server();
    publishTick(web, 0);
    const slow = await stalledAt(web);
    await runTicks(web, 1, TICKS_UNTIL_FULL);
    slow.read();
    await eventually('it has caught up', () => {
      if (snapshotsIn(slow) === 2) return true;
      publishTick(web, TICKS_UNTIL_FULL);
      return false;
    });
    const caughtUpAt = slow.messages.findLastIndex(({ event }) => event === 'snapshot');
    await aMoment();
    publishTick(web, TICKS_UNTIL_FULL + 1);
    await eventually(
      'it hears the next tick',
      () => changesIn(slow).at(-1)?.figures[0]?.value === TICKS_UNTIL_FULL + 1,
    );

    const all = changesIn(slow);
    const missedAt = all.findIndex(({ hasMissed }) => hasMissed);
    expect(missedAt).toBeGreaterThan(0);
    expect(all.filter(({ hasMissed }) => hasMissed)).toHaveLength(1);
    // What it was sent before it fell behind is whole: the bytes were on their way.
    const before = all.slice(0, missedAt).map(({ figures }) => figures[0]?.value);
    const [opening] = slow.messages;
    const openedAt = Number((opening?.said as Snapshot).figures[0]?.value);
    expect(before).toEqual(before.map((_, index) => openedAt + 1 + index));
    const [missed, snapshot] = slow.messages.slice(caughtUpAt - 1);
    const next = slow.messages.at(-1);
    expect(missed?.said).toMatchObject({ hasMissed: true, readings: [], figures: [] });
    expect(snapshot?.said).toMatchObject({ figures: [{ value: TICKS_UNTIL_FULL }] });
    expect((snapshot?.said as Snapshot).readings).toHaveLength(TAGS.length);
    expect(next?.said).toMatchObject({ hasMissed: false, figures: [{ value: TICKS_UNTIL_FULL + 1 }] });
  });

  it('costs no more memory the longer it is silent', async () => {
    const web = await server();
    publishTick(web, 0);
    const clients = await Promise.all(Array.from({ length: 10 }, () => stalledAt(web)));
    await runTicks(web, 1, TICKS_UNTIL_FULL);
    const usedAfter = async (from: number, to: number) => {
      await runTicks(web, from, to);
      return process.memoryUsage.rss();
    };
    const first = await usedAfter(TICKS_UNTIL_FULL, 2 * TICKS_UNTIL_FULL);
    const last = await usedAfter(2 * TICKS_UNTIL_FULL, 4 * TICKS_UNTIL_FULL);
    expect(clients.every(({ messages }) => messages.length === 0)).toBe(true);
    clients.forEach((client) => client.read());
    await eventually('each was listening', () => clients.every(({ messages }) => messages.length > 1));
    // Unbounded, two hundred and forty ticks of two thousand readings for ten clients would be some 500 MB.
    expect(last - first).toBeLessThan(100 * MEGABYTE);
  });
});

describe('a client that is briefly behind', () => {
  it('hears every reading, and of figures and alarms the newest, in one message', async () => {
    const web = await server();
    const few = TAGS.slice(0, 2);
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(watching({ figures: [YIELD], tags: few, alarms: true }));
    await client.hears(1);
    // Within one turn of the event loop nothing that was written can be taken, so each tick but the first waits.
    for (let tick = 1; tick <= 5; tick++) publishTick(web, tick);
    await aMoment();
    publishTick(web, 6);
    await client.hears(3);
    const [first, rest] = client.changes();
    expect(first?.readings.map(({ value }) => value)).toEqual([[1], [1]]);
    expect(rest?.readings.map(({ tag, value }) => [tag, value])).toEqual(
      few.map((tag) => [tag, [2, 3, 4, 5, 6]]),
    );
    expect(rest?.figures.map(({ value }) => value)).toEqual([6]);
    // Alarm 0 last changed at tick 6, alarm 1 at 4, alarm 2 at 5.
    expect(Object.fromEntries(rest?.alarms.map(({ id, state }) => [id, state]) ?? [])).toEqual({
      'alarm-0': 'normal',
      'alarm-1': 'normal',
      'alarm-2': 'unacknowledged',
    });
    expect(rest?.hasMissed).toBe(false);
  });

  it('is told that it missed when it watches something else before it has taken what waited', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(watching({ tags: TAGS.slice(0, 1) }));
    await client.hears(1);
    web.broadcaster.publish(update());
    await client.watch(watching({ tags: TAGS.slice(0, 2) }));
    await client.hears(2);
    expect(client.heard.map(({ event }) => event)).toEqual(['snapshot', 'snapshot']);
    // The first is sent, the second waits; the new wish comes while it does.
    publishTick(web, 1);
    publishTick(web, 2);
    const asked = client.watch(watching({ tags: TAGS.slice(0, 3) }));
    while (client.heard.length < 5) {
      await aMoment();
      publishTick(web, 3);
    }
    expect(await asked).toEqual({ refused: null });
    const [sent, missed, snapshot] = client.heard.slice(2);
    expect(sent?.said).toMatchObject({ hasMissed: false, readings: [{ value: [1] }, { value: [1] }] });
    expect(missed?.said).toMatchObject({ hasMissed: true, readings: [] });
    expect(snapshot).toMatchObject({ event: 'snapshot' });
    expect(snapshot?.said.readings).toHaveLength(3);
  });

  it('is not told that it missed anything up to the bound of what waits', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(WISH);
    await client.hears(1);
    const ticksThatFit = WAITING_READINGS_MAX / TAGS.length;
    // One is sent, those that fit wait, counting the one with which they go out.
    for (let tick = 1; tick <= ticksThatFit; tick++) publishTick(web, tick);
    await aMoment();
    publishTick(web, ticksThatFit + 1);
    await client.hears(3);
    expect(client.changes().map(({ hasMissed }) => hasMissed)).toEqual([false, false]);
    expect(client.changes()[1]?.readings[0]?.value).toHaveLength(ticksThatFit);
  });
});
