import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Health } from '#server/contract/health.ts';
import type { RawAnswer } from '#server/contract/history-answer.ts';
import { eventually, eventuallyResolves } from '#tests/support/eventually.ts';
import { watchEverything, type LiveClient } from '#tests/support/live-client.ts';
import { demoSystem, type Started, type System } from '#tests/support/running-system.ts';

const FEED_TAG = 'a.intake.mass-flow';
const FEED_FIGURE = 'a.line.feed-rate';
/** Enough to start with; the plant's own history of half an hour alone is several times as much. */
const FILE_KIB_MAX = 1500;

let system: System;
let server: Started;
let client: LiveClient;

beforeEach(async () => {
  system = await demoSystem();
  await system.startSimulator();
  server = await system.startServer(FILE_KIB_MAX);
  client = await watchEverything(server.address);
});

afterEach(async () => {
  client.close();
  await system.dispose();
});

/** The operating system refuses to let any file of the server grow, and then lifts the limit. */
describe('a server whose disk is full', () => {
  it('goes on showing figures and alarms, says so with numbers, and records on by itself, what waited too', async () => {
    await eventuallyResolves(
      'trouble is told',
      async () => {
        expect(await healthOf()).toMatchObject({
          isLive: true,
          isReady: false,
          recording: { isRecording: false },
        });
      },
      60_000,
    );
    const health = await healthOf();
    expect(health.because.join()).toMatch(/HISTORY_UNWRITABLE history: got SQLite code \d+/);
    expect(health.recording?.waitingCount).toBeGreaterThan(0);

    const troubleMs = Date.now();
    await eventually('figures are known', () => typeof feed()?.value === 'number', 40_000);
    await system.upset('destoner-stop');
    await eventually('the stop is told', () => client.alarms.get('a.destoner.stopped') !== undefined, 20_000);
    const shownMs = feed()?.timeMs ?? 0;
    await eventually('figures go on', () => (feed()?.timeMs ?? 0) > shownMs + 3000, 20_000);

    const raised = spawnSync('/usr/bin/prlimit', ['--pid', String(server.pid), '--fsize=unlimited']);
    expect(raised.status).toBe(0);
    await eventuallyResolves('recording again', async () => {
      expect(await healthOf()).toMatchObject({ isReady: true, because: [] });
    });
    await eventuallyResolves('what waited is kept', async () => {
      const times = await keptSince(troubleMs - 2000);
      expect(times.length).toBeGreaterThan(5);
      // The scale tells each change, at most once a second; while the line runs it changes each time.
      expect(Math.min(...times)).toBeLessThan(troubleMs + 2000);
    });
    await eventuallyResolves('the log says how it was', () => {
      const log = readFileSync(join(system.data, 'server.log'), 'utf8');
      expect(log).toMatch(
        /HISTORY_UNWRITABLE .*\d+ of at most \d+ samples wait in memory, 0 lost; \d+\.\d MB of disk free/,
      );
      expect(log).toMatch(/HISTORY_UNWRITABLE history, for \d+ s \[samples\]: got \d+ waited, 0 lost/);
      return Promise.resolve();
    });
  });
});

const feed = () => client.figures.get(FEED_FIGURE);

async function healthOf(): Promise<Health> {
  return (await (await fetch(`${server.address}/api/health`)).json()) as Health;
}

async function keptSince(fromMs: number): Promise<readonly number[]> {
  const query = new URLSearchParams({ series: FEED_TAG, fromMs: String(fromMs), toMs: String(Date.now()) });
  const answer = await fetch(`${server.address}/api/history/raw?${query.toString()}`);
  return ((await answer.json()) as RawAnswer).series[0]?.timeMs ?? [];
}
