import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { RawAnswer } from '#server/contract/history-answer.ts';
import { STORED_STATUS } from '#server/contract/stored-status.ts';
import { openSampleStore } from '#server/history/open-sample-store.ts';
import { eventually, eventuallyResolves } from '#tests/support/eventually.ts';
import { watchEverything, type LiveClient } from '#tests/support/live-client.ts';
import { demoSystem, type Started, type System } from '#tests/support/running-system.ts';

const FEED_TAG = 'a.intake.mass-flow';
const FEED_FIGURE = 'a.line.feed-rate';

let system: System;
let simulator: Started;
let server: Started;
let client: LiveClient;

beforeEach(async () => {
  system = await demoSystem();
  simulator = await system.startSimulator();
  server = await system.startServer();
  client = await watchEverything(server.address);
  await eventually('figures are known', () => isKnown('a.line.yield'), 40_000);
});

afterEach(async () => {
  client.close();
  await system.dispose();
});

describe('when the plant is killed for ten seconds', () => {
  it('says why within 5 s, recovers within 5 s of its return, and shows a gap', async () => {
    const killedMs = Date.now();
    await simulator.end('SIGKILL');
    await eventually('figures say that the link is down', () => becauseOf(FEED_FIGURE) === 'link-down', 5000);
    expect(client.figures.get(FEED_FIGURE)?.value).toBeNull();
    expect(client.links.get('plant')?.because).toMatch(/^LINK_DOWN /);
    await sleepUntil(killedMs + 10_000);

    // It comes back without a past: what was missed cannot be given back, so the gap stays a gap.
    simulator = await system.startSimulator(['--warm-minutes', '0']);
    const backMs = Date.now();
    await eventually('figures are known again', () => isKnown(FEED_FIGURE), 5000);
    await eventually('the yield is known again', () => isKnown('a.line.yield'), 5000);

    await eventuallyResolves('the gap is kept', async () => {
      const gap = await longestSilence(killedMs - 5000, backMs + 5000);
      expect(gap.hasMarker).toBe(true);
      expect(gap.lengthMs).toBeGreaterThan(8000);
    });
  });
});

describe('when the server is killed without a word', () => {
  it('has kept all but the last second, and goes on with the same alarms', async () => {
    await system.upset('destoner-stop');
    await eventually(
      'the stop is told',
      () => client.alarms.get('a.destoner.stopped')?.code === 'stopped-first',
      10_000,
    );
    const killedMs = Date.now();
    await server.end('SIGKILL');

    const newestMs = await newestKept(FEED_TAG, killedMs);
    // The plant measures once a second: what it measured up to a second before the kill is all there.
    expect(newestMs).toBeGreaterThanOrEqual(Math.floor((killedMs - 1000) / 1000) * 1000);

    server = await system.startServer();
    client.close();
    client = await watchEverything(server.address);
    await eventually('the alarm is still unacknowledged', () => {
      return client.alarms.get('a.destoner.stopped')?.state === 'unacknowledged';
    });
    await eventually('figures are known again', () => isKnown('a.treater.dose'), 20_000);
  });
});

describe('when it is stopped', () => {
  it('ends cleanly within 5 s, plant and server', async () => {
    const beganMs = Date.now();
    expect(await Promise.all([server.end('SIGTERM'), simulator.end('SIGTERM')])).toEqual([0, 0]);
    expect(Date.now() - beganMs).toBeLessThan(5000);
  });
});

function isKnown(figure: string): boolean {
  return typeof client.figures.get(figure)?.value === 'number';
}

function becauseOf(figure: string): string | null | undefined {
  return client.figures.get(figure)?.because;
}

async function sleepUntil(timeMs: number): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, Math.max(0, timeMs - Date.now())));
}

/** The longest time between two values that follow each other, and whether a gap marker stands in it. */
async function longestSilence(
  fromMs: number,
  toMs: number,
): Promise<{ lengthMs: number; hasMarker: boolean }> {
  const query = new URLSearchParams({ series: FEED_TAG, fromMs: String(fromMs), toMs: String(toMs) });
  const answer = (await (
    await fetch(`${server.address}/api/history/raw?${query.toString()}`)
  ).json()) as RawAnswer;
  const [only] = answer.series;
  if (only === undefined) throw new Error(`no history of ${FEED_TAG}`);
  let longest = { lengthMs: 0, hasMarker: false };
  let last: number | null = null;
  let hasMarker = false;
  for (const [index, timeMs] of only.timeMs.entries()) {
    if (only.status[index] === STORED_STATUS.gap) hasMarker = true;
    if (typeof only.value[index] !== 'number') continue;
    if (last !== null && timeMs - last > longest.lengthMs) longest = { lengthMs: timeMs - last, hasMarker };
    last = timeMs;
    hasMarker = false;
  }
  return longest;
}

/** What a program of its own finds in the history that the killed server left. */
async function newestKept(tag: string, atMs: number): Promise<number> {
  const store = await openSampleStore({ folder: join(system.data, 'history'), isReadOnly: true });
  const series = (await store.catalogue()).find(({ name }) => name === tag)?.series ?? -1;
  const [newest] = await store.valuesAt([series], atMs);
  await store.close();
  if (newest === undefined) throw new Error(`nothing is kept of ${tag}`);
  return newest.timeMs;
}
