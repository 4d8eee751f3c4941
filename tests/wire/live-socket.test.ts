import { describe, expect, it } from 'vitest';
import { Check } from 'typebox/value';
import { SnapshotSchema } from '#server/contract/socket-events.ts';
import { CONTRACT_VERSION } from '#server/contract/version.ts';
import { aLot, SHIFT_START_MS } from '#tests/support/record-builders.ts';
import { alarm, figure, PLANT, reading, update } from '#tests/web/web-fixture.ts';
import { aMoment, listener, server, watching } from './live-clients.ts';

const YIELD = 'line-1.line.yield';
const DOSE = 'line-1.treater.dose';
const FLOW = 'line-1.intake.mass-flow';
const AMPS = 'line-1.elevator-1.motor-current';
const LATER_MS = SHIFT_START_MS + 250;

const LOT = {
  ...aLot(),
  id: 1,
  writtenBy: { id: 'Ada', role: 'operator' },
  writtenMs: SHIFT_START_MS,
  startedMs: SHIFT_START_MS,
  endedMs: null,
} as const;
const LINK = {
  endpoint: 'plc',
  url: 'opc.tcp://127.0.0.1:4840',
  state: 'live',
  sinceMs: SHIFT_START_MS,
  lastHeardMs: null,
  clockOffsetMs: null,
  because: null,
} as const;

describe('the live socket', () => {
  it('says nothing until it is asked to watch', async () => {
    const web = await server();
    const [quiet, curious] = [await listener(web), await listener(web)];
    await curious.watch(watching({ figures: [YIELD] }));
    for (const value of [1, 2, 3]) {
      await aMoment();
      web.broadcaster.publish(update({ figures: [figure(YIELD, value)] }));
    }
    await curious.hears(3);
    expect(quiet.heard).toEqual([]);
  });

  it('answers a watch, then sends how all of it stands, and of the rest nothing', async () => {
    const web = await server();
    web.broadcaster.publish(
      update({
        figures: [figure(YIELD, 0.9), figure(DOSE, 54)],
        readings: [reading(FLOW, 9000), reading(AMPS, 12), reading(FLOW, 9100, LATER_MS)],
        alarms: [alarm('line-1.destoner.stopped', 'unacknowledged')],
        links: [LINK],
        lots: [LOT],
      }),
    );
    const client = await listener(web);
    const answer = client.watch(watching({ figures: [YIELD], tags: [FLOW] }));
    const [first] = await client.hears(1);
    expect(await answer).toEqual({ refused: null });
    expect(first).toEqual({
      event: 'snapshot',
      said: {
        contractVersion: CONTRACT_VERSION,
        timeMs: SHIFT_START_MS,
        figures: [figure(YIELD, 0.9)],
        readings: [{ tag: FLOW, timeMs: [LATER_MS], value: [9100], quality: null }],
        alarms: [],
        links: [LINK],
        flood: { sinceMs: null, count: 0 },
        recording: {
          isRecording: false,
          sinceMs: SHIFT_START_MS,
          waitingCount: 0,
          lostCount: 0,
          because: null,
        },
        lots: [LOT],
        shifts: [],
      },
    });
    expect(Check(SnapshotSchema, first?.said)).toBe(true);
  });

  it('sends the snapshot with the first tick to those who asked before it', async () => {
    const web = await server();
    const client = await listener(web);
    expect(await client.watch(watching({ figures: [YIELD] }))).toEqual({ refused: null });
    expect(client.heard).toEqual([]);
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.9)] }));
    const [first] = await client.hears(1);
    expect(first).toMatchObject({ event: 'snapshot', said: { figures: [{ id: YIELD, value: 0.9 }] } });
  });

  it('sends one message a tick with what changed of what is watched, readings in ascending time', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(watching({ figures: [YIELD], tags: [FLOW], alarms: true }));
    const stopped = alarm('line-1.destoner.stopped', 'unacknowledged');
    web.broadcaster.publish(
      update({
        timeMs: LATER_MS,
        figures: [figure(YIELD, 0.8), figure(DOSE, 50)],
        readings: [
          reading(FLOW, 2, LATER_MS),
          reading(AMPS, 3),
          reading(FLOW, 1),
          reading(FLOW, null, LATER_MS + 1),
        ],
        alarms: [stopped],
      }),
    );
    await client.hears(2);
    expect(client.changes()).toEqual([
      {
        timeMs: LATER_MS,
        figures: [figure(YIELD, 0.8)],
        readings: [
          {
            tag: FLOW,
            timeMs: [SHIFT_START_MS, LATER_MS, LATER_MS + 1],
            value: [1, 2, null],
            quality: ['good', 'good', 'bad'],
          },
        ],
        alarms: [stopped],
        links: [],
        recording: null,
        flood: null,
        lots: null,
        shifts: null,
        hasMissed: false,
      },
    ]);
  });

  it('tells links, recording, floods, lots and shifts to all, whatever they watch', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(watching());
    const recording = { isRecording: true, sinceMs: 0, waitingCount: 0, lostCount: 0, because: null };
    const flood = { sinceMs: SHIFT_START_MS, count: 11 };
    web.broadcaster.publish(update({ links: [LINK], recording, flood, lots: [], shifts: [] }));
    await client.hears(2);
    expect(client.changes()).toMatchObject([{ links: [LINK], recording, flood, lots: [], shifts: [] }]);
  });

  it('lets a new watch take the place of the old one, beginning with a snapshot', async () => {
    const web = await server();
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.9), figure(DOSE, 54)] }));
    const client = await listener(web);
    await client.watch(watching({ figures: [YIELD] }));
    await client.hears(1);
    web.broadcaster.publish(update());
    await client.watch(watching({ figures: [DOSE] }));
    await client.hears(2);
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.1), figure(DOSE, 55)] }));
    const heard = await client.hears(3);
    expect(heard.map(({ event, said }) => [event, said.figures.map(({ id }) => id)])).toEqual([
      ['snapshot', [YIELD]],
      ['snapshot', [DOSE]],
      ['changes', [DOSE]],
    ]);
  });

  it('gives each client its own, and those who watch the same the same', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const clients = [await listener(web), await listener(web), await listener(web)];
    const wishes = [
      watching({ figures: [YIELD, DOSE] }),
      watching({ figures: [DOSE, YIELD, YIELD] }),
      watching({ tags: [FLOW] }),
    ];
    for (const [index, client] of clients.entries()) await client.watch(wishes[index]);
    web.broadcaster.publish(
      update({ figures: [figure(YIELD, 1), figure(DOSE, 2)], readings: [reading(FLOW, 3)] }),
    );
    for (const client of clients) await client.hears(2);
    const [one, same, other] = clients.map((client) => client.changes()[0]);
    expect(one?.figures.map(({ id }) => id)).toEqual([YIELD, DOSE]);
    expect(same).toEqual(one);
    expect([other?.figures, other?.readings.map(({ tag }) => tag)]).toEqual([[], [FLOW]]);
  });

  it('sends nothing on a tick in which nothing watched changed, and a sign of life once a second', async () => {
    const web = await server();
    web.broadcaster.publish(update());
    const client = await listener(web);
    await client.watch(watching({ figures: [YIELD] }));
    const ticksPerSecond = 1000 / PLANT.tickMs;
    for (let tick = 1; tick <= 3 * ticksPerSecond; tick++) {
      web.broadcaster.publish(
        update({ timeMs: SHIFT_START_MS + tick * PLANT.tickMs, figures: [figure(DOSE, tick)] }),
      );
      await aMoment();
    }
    await client.hears(3);
    const times = client.changes().map(({ timeMs }) => timeMs);
    expect(times.length).toBeGreaterThanOrEqual(2);
    expect(times.length).toBeLessThanOrEqual(4);
    expect(client.changes().every(({ figures }) => figures.length === 0)).toBe(true);
  });

  it('takes an alarm that went back to normal out of the snapshot, and tells it once', async () => {
    const web = await server();
    const id = 'line-1.destoner.stopped';
    web.broadcaster.publish(update({ alarms: [alarm(id, 'acknowledged')] }));
    const early = await listener(web);
    await early.watch(watching({ alarms: true }));
    web.broadcaster.publish(update({ alarms: [alarm(id, 'normal')] }));
    await early.hears(2);
    const late = await listener(web);
    await late.watch(watching({ alarms: true }));
    const [first] = await late.hears(1);
    expect(early.changes()[0]?.alarms).toEqual([alarm(id, 'normal')]);
    expect(first?.said.alarms).toEqual([]);
  });

  it('does not let a late reading become the newest', async () => {
    const web = await server();
    web.broadcaster.publish(update({ readings: [reading(FLOW, 2, LATER_MS)] }));
    web.broadcaster.publish(update({ readings: [reading(FLOW, 1, SHIFT_START_MS)] }));
    const client = await listener(web);
    await client.watch(watching({ tags: [FLOW] }));
    const [first] = await client.hears(1);
    expect(first?.said.readings).toEqual([{ tag: FLOW, timeMs: [LATER_MS], value: [2], quality: null }]);
  });

  it('serves a browser that cannot have a web socket by polling', async () => {
    const web = await server();
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.9)] }));
    const client = await listener(web, ['polling']);
    await client.watch(watching({ figures: [YIELD] }));
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.8)] }));
    web.broadcaster.publish(update({ figures: [figure(YIELD, 0.7)] }));
    while (client.changes().at(-1)?.figures[0]?.value !== 0.7) {
      web.broadcaster.publish(update());
      await aMoment();
    }
    expect(client.heard[0]?.event).toBe('snapshot');
  });
});
