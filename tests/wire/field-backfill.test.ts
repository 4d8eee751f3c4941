import { afterEach, describe, expect, it } from 'vitest';
import { eventually } from '#tests/support/eventually.ts';
import { laidCable } from '#tests/support/opcua-cable.ts';
import { listenTo, type Listener } from '#tests/support/opcua-listener.ts';
import {
  rampNames,
  startOpcuaPlant,
  type OpcuaPlant,
  type PlantOptions,
} from '#tests/support/opcua-plant.ts';

const TAGS = rampNames(7).map((tag) => ({ tag, staleAfterMs: 1000 }));

const toStop: { stop(): Promise<void> }[] = [];
afterEach(async () => {
  for (const running of toStop.splice(0).reverse()) await running.stop();
});

async function plantAtWork(options: Partial<PlantOptions>): Promise<OpcuaPlant> {
  const plant = await startOpcuaPlant({ rampCount: 7, rampEveryMs: 100, ...options });
  toStop.push(plant);
  return plant;
}

/** Asks for every change: a plant that samples would itself skip steps on a busy machine. */
function listening(...[options]: Parameters<typeof listenTo>): Listener {
  const endpoint = { samplingIntervalMs: 0, ...options.endpoint };
  const listener = listenTo({ ...options, endpoint });
  toStop.push(listener);
  return listener;
}

/** What is known of a tag, live and given back, in the order of source times. */
function known({ readings, backfilled }: Listener, tag: string): readonly (number | null)[] {
  return [...readings, ...backfilled]
    .filter((reading) => reading.tag === tag)
    .sort((a, b) => a.sourceTimeMs - b.sourceTimeMs)
    .map(({ value }) => value);
}

function expectComplete(values: readonly (number | null)[]): void {
  const first = values[0] ?? NaN;
  expect(values).toEqual(values.map((_, at) => first + at));
}

describe('backfill', () => {
  it('begins behind the live readings and joins them without a hole and without anything twice', async () => {
    const plant = await plantAtWork({ hasHistory: true });
    // More than a page of 1,000 values would take too long here; pages are tested with a made-up historian.
    await eventually('some history', () => plant.steps() > 20);
    const before = plant.steps();
    const listener = listening({ url: plant.url, tags: TAGS });
    await eventually('every tag given back', () =>
      TAGS.every(({ tag }) => known(listener, tag).length > before),
    );
    for (const { tag } of TAGS) expectComplete(known(listener, tag));
    const [firstGivenBack] = listener.backfilled;
    const [firstLive] = listener.readings;
    expect(firstGivenBack?.arrivalMs).toBeGreaterThan(firstLive?.arrivalMs ?? Infinity);
    expect(listener.gaps).toEqual([]);
  });

  it('asks only for what is newer than the newest reading kept', async () => {
    const plant = await plantAtWork({ hasHistory: true });
    await eventually('some history', () => plant.steps() > 20);
    const untilMs = Date.now();
    await eventually('more history', () => plant.steps() > 40);
    const listener = listening({ url: plant.url, tags: TAGS, recordedUntilMs: () => untilMs });
    await eventually('readings given back', () => listener.backfilled.length > 7 * 18);
    expect(Math.min(...listener.backfilled.map(({ sourceTimeMs }) => sourceTimeMs))).toBeGreaterThan(untilMs);
    expect(listener.gaps).toEqual([]);
  });

  it('marks the time since the newest reading kept where the plant has no history', async () => {
    const plant = await plantAtWork({ hasHistory: false });
    const untilMs = Date.now() - 60_000;
    const listener = listening({ url: plant.url, tags: TAGS, recordedUntilMs: () => untilMs });
    await eventually(
      'every tag in a gap',
      () => listener.gaps.flatMap(({ tags }) => tags).length === TAGS.length,
    );
    for (const { fromMs, toMs, tags } of listener.gaps) {
      const firstLive = listener.of(tags[0] ?? '')[0];
      expect([fromMs, toMs]).toEqual([untilMs, firstLive?.sourceTimeMs]);
    }
    expect(plant.requests).not.toContain('HistoryRead');
    expect(listener.backfilled).toEqual([]);
  });

  it('marks nothing for tags of which nothing was ever kept', async () => {
    const plant = await plantAtWork({ hasHistory: false });
    const listener = listening({ url: plant.url, tags: TAGS });
    await eventually('readings for two seconds', () => listener.of('Ramp.0').length > 20);
    expect(listener.gaps).toEqual([]);
  });

  it('loses nothing when the cable is out for two seconds and the plant goes on recording', async () => {
    const plant = await plantAtWork({ hasHistory: true });
    const cable = await laidCable(Number(new URL(plant.url).port));
    toStop.push({ stop: () => cable.close() });
    const listener = listening({ url: cable.url, tags: TAGS, endpoint: { backfillMsMax: 60_000 } });
    await eventually('live', () => listener.of('Ramp.0').length > 10);
    cable.cut();
    const cutAt = plant.steps();
    await eventually('two seconds', () => plant.steps() > cutAt + 20);
    cable.mend();
    await eventually('live again', () => listener.state() === 'live');
    const mendedAt = plant.steps();
    await eventually('all given back', () => TAGS.every(({ tag }) => known(listener, tag).length > mendedAt));
    for (const { tag } of TAGS) expectComplete(known(listener, tag));
    expect(listener.gaps).toEqual([]);
  });

  it('marks the same break from its start while it lasts and with its end after, where there is no history', async () => {
    const plant = await plantAtWork({ hasHistory: false });
    const cable = await laidCable(Number(new URL(plant.url).port));
    toStop.push({ stop: () => cable.close() });
    const listener = listening({ url: cable.url, tags: TAGS });
    await eventually('live and asked about history', () => listener.of('Ramp.0').length > 20);
    cable.cut();
    await eventually('the open gap', () => listener.gaps.length > 0);
    const [open] = listener.gaps;
    expect(open).toMatchObject({ endpoint: 'plant', tags: rampNames(7), toMs: null });
    const lastBefore = Math.max(...listener.readings.map(({ sourceTimeMs }) => sourceTimeMs));
    expect(open?.fromMs).toBeGreaterThan(lastBefore);
    const readingsBefore = listener.readings.length;
    cable.mend();
    await eventually('the ended gap', () => listener.gaps.length > 1);
    const firstAfter = listener.readings[readingsBefore];
    expect(listener.gaps[1]).toEqual({ ...open, toMs: firstAfter?.sourceTimeMs });
  });
});
