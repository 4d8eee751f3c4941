import { afterEach, describe, expect, it } from 'vitest';
import { eventually } from '#tests/support/eventually.ts';
import { laidCable } from '#tests/support/opcua-cable.ts';
import { listenTo, type Listener } from '#tests/support/opcua-listener.ts';
import { startPlantProcess, type PlantProcess } from '#tests/support/opcua-plant-process.ts';
import { rampNames, type PlantOptions } from '#tests/support/opcua-plant.ts';

/** What the link promises: lost is noticed, and live again after the plant's return, within 5 s each. */
const NOTICED_MS_MAX = 5000;
const LIVE_AGAIN_MS_MAX = 5000;
/** Slack for looking: a missed deadline shall show as a failed comparison, not as a time-out. */
const LOOK_MS_MAX = 15_000;

const TAGS = rampNames(5).map((tag) => ({ tag, staleAfterMs: 2000 }));

const toEnd: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const end of toEnd.splice(0).reverse()) await end();
});

async function plantProcess(options: Partial<PlantOptions> = {}): Promise<PlantProcess> {
  const plant = await startPlantProcess(options);
  toEnd.push(() => plant.kill());
  return plant;
}

async function liveListener(url: string, publishingIntervalMs = 250): Promise<Listener> {
  const listener = listenTo({ url, tags: TAGS, endpoint: { publishingIntervalMs } });
  toEnd.push(() => listener.stop());
  await eventually(
    'live with readings',
    () => listener.state() === 'live' && listener.readings.length > 10,
    LOOK_MS_MAX,
  );
  return listener;
}

/** How long it takes, from now, until the link is said to be as named. */
async function timeUntil(listener: Listener, state: 'lost' | 'live'): Promise<number> {
  const fromMs = performance.now();
  await eventually(`the link is ${state}`, () => listener.state() === state, LOOK_MS_MAX);
  return performance.now() - fromMs;
}

async function expectReadingsAgain(listener: Listener): Promise<void> {
  const before = listener.readings.length;
  await eventually('new readings of every tag', () => {
    const fresh = new Set(listener.readings.slice(before).map(({ tag, quality }) => `${tag} ${quality}`));
    return TAGS.every(({ tag }) => fresh.has(`${tag} good`));
  });
}

describe('the link to a plant', () => {
  it('notices that the plant was killed, says why, and is live soon after its return', async () => {
    const plant = await plantProcess();
    const listener = await liveListener(plant.url);
    await plant.kill();
    expect(await timeUntil(listener, 'lost')).toBeLessThan(NOTICED_MS_MAX);
    const status = listener.statuses.at(-1);
    expect(status?.because).toMatch(
      /^LINK_DOWN endpoint plant: got .+, expected readings from opc\.tcp:.+; trying again;/,
    );
    await plantProcess({ port: plant.port });
    expect(await timeUntil(listener, 'live')).toBeLessThan(LIVE_AGAIN_MS_MAX);
    expect(listener.statuses.at(-1)?.because).toBeNull();
    await expectReadingsAgain(listener);
  });

  it('reads the right nodes after a restart that moved the index of their namespace', async () => {
    const plant = await plantProcess();
    const listener = await liveListener(plant.url);
    await plant.kill();
    await plantProcess({ port: plant.port, namespacesBefore: 3 });
    await timeUntil(listener, 'lost');
    expect(await timeUntil(listener, 'live')).toBeLessThan(LIVE_AGAIN_MS_MAX);
    await expectReadingsAgain(listener);
    expect(listener.log.filter((text) => text.startsWith('NODE_REFUSED'))).toEqual([]);
  });

  it.each([250, 2000])(
    'notices a frozen plant, with a publishing interval of %s ms',
    async (publishingIntervalMs) => {
      const plant = await plantProcess();
      const listener = await liveListener(plant.url, publishingIntervalMs);
      plant.freeze();
      expect(await timeUntil(listener, 'lost')).toBeLessThan(NOTICED_MS_MAX);
      plant.thaw();
      expect(await timeUntil(listener, 'live')).toBeLessThan(LIVE_AGAIN_MS_MAX);
      await expectReadingsAgain(listener);
    },
  );

  it('stops within 3 s although the plant is frozen', async () => {
    const plant = await plantProcess();
    const listener = await liveListener(plant.url);
    plant.freeze();
    const fromMs = performance.now();
    await listener.stop();
    expect(performance.now() - fromMs).toBeLessThan(3000);
  });

  it('notices a cut cable and is live soon after it is mended', async () => {
    const plant = await plantProcess();
    const cable = await laidCable(plant.port);
    toEnd.push(() => cable.close());
    const listener = await liveListener(cable.url);
    cable.cut();
    expect(await timeUntil(listener, 'lost')).toBeLessThan(NOTICED_MS_MAX);
    cable.mend();
    expect(await timeUntil(listener, 'live')).toBeLessThan(LIVE_AGAIN_MS_MAX);
    await expectReadingsAgain(listener);
  });

  it('notices a connection that is dead although neither end was told', async () => {
    const plant = await plantProcess();
    const cable = await laidCable(plant.port);
    toEnd.push(() => cable.close());
    const listener = await liveListener(cable.url);
    cable.goDead();
    expect(await timeUntil(listener, 'lost')).toBeLessThan(NOTICED_MS_MAX);
    cable.mend();
    expect(await timeUntil(listener, 'live')).toBeLessThan(LIVE_AGAIN_MS_MAX);
    await expectReadingsAgain(listener);
  });

  it('finds a plant that is there only later than we are, and tells until then that it is not', async () => {
    const plant = await plantProcess();
    await plant.kill();
    const listener = listenTo({ url: plant.url, tags: TAGS });
    toEnd.push(() => listener.stop());
    await timeUntil(listener, 'lost');
    expect(listener.statuses.map(({ state }) => state).slice(0, 2)).toEqual(['connecting', 'lost']);
    expect(listener.statuses.at(-1)?.lastHeardMs).toBeNull();
    await plantProcess({ port: plant.port });
    expect(await timeUntil(listener, 'live')).toBeLessThan(LIVE_AGAIN_MS_MAX);
    await expectReadingsAgain(listener);
  });

  it('tells each loss once, however often it tries again', async () => {
    const plant = await plantProcess();
    const listener = await liveListener(plant.url);
    await plant.kill();
    await timeUntil(listener, 'lost');
    const since = listener.statuses.at(-1)?.sinceMs;
    await eventually(
      'two more attempts',
      () => listener.statuses.filter(({ state }) => state === 'lost').length >= 3,
    );
    expect(listener.statuses.at(-1)?.sinceMs).toBe(since);
    expect(listener.log.filter((text) => text.startsWith('LINK_DOWN'))).toHaveLength(1);
  });
});
