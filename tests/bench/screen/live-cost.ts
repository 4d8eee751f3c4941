import type { Browser } from 'playwright-core';
import { openScreen, pause, playFeed, tracesOf } from './stage.ts';

const LIVE_MS = 12_000;
const WARM_UP_MS = 4000;

/** Share of a core that script takes while twelve traces are followed at ten values a second each. */
export async function liveCorePercent(browser: Browser, spanMs: number): Promise<number> {
  const feed = await playFeed({ tickMs: 100 });
  const { page, session } = await openScreen(
    browser,
    `${feed.url}/trends?show=${tracesOf(feed).join(',')}&spanMs=${spanMs}`,
  );
  await session.send('Performance.enable');
  await pause(WARM_UP_MS);
  const scriptS = async () => {
    const { metrics } = await session.send('Performance.getMetrics');
    return metrics.find(({ name }) => name === 'ScriptDuration')?.value ?? Number.NaN;
  };
  const before = await scriptS();
  const startMs = performance.now();
  await pause(LIVE_MS);
  const share = (((await scriptS()) - before) * 1000) / (performance.now() - startMs);
  await page.close();
  await feed.close();
  return share * 100;
}

export interface HeapGrowth {
  readonly percent: number;
  readonly startMb: number;
  readonly endMb: number;
  readonly hours: number;
  readonly messages: number;
}

const HOUR_MS = 3_600_000;
const SPEED = 240;
const TICK_MS = 5;
const BYTES_PER_MB = 1e6;

/** How much the heap has grown between the first hour of live data and the last, at many times the speed of the clock. */
export async function heapGrowth(browser: Browser, hours: number): Promise<HeapGrowth> {
  const feed = await playFeed({ tickMs: TICK_MS, speed: SPEED });
  const { page, session } = await openScreen(
    browser,
    `${feed.url}/trends?show=${tracesOf(feed).join(',')}&spanMs=1800000`,
  );
  let messages = 0;
  page.on('websocket', (socket) => socket.on('framereceived', () => messages++));
  await page.reload();
  const heap = async () => {
    await session.send('HeapProfiler.collectGarbage');
    const { usedSize } = await session.send('Runtime.getHeapUsage');
    return usedSize;
  };
  const beganMs = feed.nowMs();
  await until(() => feed.nowMs() - beganMs >= HOUR_MS);
  const start = await heap();
  await until(() => feed.nowMs() - beganMs >= hours * HOUR_MS);
  const end = await heap();
  const passed = (feed.nowMs() - beganMs) / HOUR_MS;
  await page.close();
  await feed.close();
  return {
    percent: (100 * (end - start)) / start,
    startMb: start / BYTES_PER_MB,
    endMb: end / BYTES_PER_MB,
    hours: passed,
    messages,
  };
}

async function until(isOver: () => boolean): Promise<void> {
  while (!isOver()) await pause(200);
}
