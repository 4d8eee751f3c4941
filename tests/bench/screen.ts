/**
 * What the screen costs: scripting of pan and zoom beside the bare chart library with the same points, live data, the
 * first figure, the size of the pages, and memory over half a day. The plant is a function of time, so that nothing but
 * the page is measured. Options: --hours <of accelerated live data>; --only frames,growth,live,first,heap leaves the
 * others out, whose figures are then null.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { cpus, totalmem } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { gzipSync } from 'node:zlib';
import type { Browser, Page } from 'playwright-core';
import type { ThinnedAnswer } from '#server/contract/history-answer.ts';
import { buildClient } from '#server/launch/build-client.mjs';
import { PROJECT_ROOT } from '#server/launch/project-root.mjs';
import { launchChromium } from '#tests/support/chromium.ts';
import { bareUplotPage } from './screen/bare-page.ts';
import { firstFigureMs } from './screen/first-figure.ts';
import { heapGrowth, liveCorePercent, type HeapGrowth } from './screen/live-cost.ts';
import { percentile, scriptPerFrame } from './screen/script-time.ts';
import {
  BUCKETS,
  openScreen,
  pause,
  playFeed,
  TRACES,
  tracesOf,
  turnWheel,
  type Opened,
} from './screen/stage.ts';

const TURNS = 60;
const ROUNDS = 2;
const HOUR_MS = 3_600_000;
const SETTLED_MS = 2500;
const GROWTH_HOURS = [1, 10, 100, 1000, 8760] as const;
const YEAR_MS = 366 * 24 * HOUR_MS;

const PARTS = ['frames', 'growth', 'live', 'first', 'heap'] as const;
const { values } = parseArgs({
  options: { hours: { type: 'string', default: '12' }, only: { type: 'string', default: PARTS.join(',') } },
});
const asked = new Set(values.only.split(','));
await buildClient(() => undefined);
const browser = await launchChromium();
try {
  await measure();
} finally {
  await browser.close();
}

async function measure(): Promise<void> {
  sayConditions();
  const frames = await part('frames', () => frameCosts(browser));
  if (frames !== null) sayFrames(frames);
  const growth = await part('growth', () => rangeGrowth(browser));
  if (growth !== null) sayGrowth(growth);
  const live = await part('live', () => liveCosts(browser));
  const first = await part('first', () => firstFigureMs(browser));
  const heap = await part('heap', () => heapGrowth(browser, Number(values.hours)));
  report({ frames, live, first, heap });
}

async function part<Found>(name: (typeof PARTS)[number], find: () => Promise<Found>): Promise<Found | null> {
  return asked.has(name) ? find() : null;
}

/** Script's share of a core while following, over the shortest span of the buttons and over one where each value shows. */
async function liveCosts(from: Browser): Promise<LiveCosts> {
  return { min10: await liveCorePercent(from, 600_000), min1: await liveCorePercent(from, 60_000) };
}

interface LiveCosts {
  readonly min10: number;
  readonly min1: number;
}

interface FrameCost {
  readonly p50: number | null;
  readonly p95: number | null;
  readonly frames: number;
}

interface FrameCosts {
  readonly ours: Readonly<Record<'pan' | 'zoom', FrameCost>>;
  readonly bare: Readonly<Record<'pan' | 'zoom', FrameCost>>;
}

/** Ours and the bare library in turn, several rounds in one run: what else the machine does falls on both. */
async function frameCosts(from: Browser): Promise<FrameCosts> {
  const feed = await playFeed({ historyMs: YEAR_MS });
  const toMs = feed.nowMs() - 2 * HOUR_MS;
  const fromMs = toMs - HOUR_MS;
  const series = tracesOf(feed);
  const opened = await openScreen(
    from,
    `${feed.url}/trends?show=${series.join(',')}&fromMs=${fromMs}&toMs=${toMs}`,
  );
  await pause(SETTLED_MS);
  const answer = await samePoints(feed.url, series, { fromMs, toMs });
  const box = await opened.page.locator('.u-over').first().boundingBox();
  const bare = await bareUplotPage(answer, {
    widthPx: (box?.width ?? 0) + 70,
    heightPx: Math.max(88, box?.height ?? 0),
  });
  const other = await openScreen(from, bare.url);
  await pause(SETTLED_MS);
  const costs = await inTurn(opened, other);
  await Promise.all([opened.page.close(), other.page.close(), feed.close()]);
  bare.close();
  return costs;
}

async function inTurn(ours: Opened, bare: Opened): Promise<FrameCosts> {
  const gathered = { ours: { pan: [], zoom: [] }, bare: { pan: [], zoom: [] } } as Record<
    'ours' | 'bare',
    Record<'pan' | 'zoom', number[]>
  >;
  for (let round = 0; round < ROUNDS; round++) {
    for (const kind of ['pan', 'zoom'] as const) {
      for (const [name, { page, session }] of [
        ['ours', ours],
        ['bare', bare],
      ] as const) {
        await page.bringToFront();
        gathered[name][kind].push(...(await scriptPerFrame(session, () => turnWheel(page, TURNS, kind))));
        await pause(SETTLED_MS / 2);
      }
    }
  }
  const cost = (values: readonly number[]): FrameCost => ({
    p50: percentile(values, 0.5),
    p95: percentile(values, 0.95),
    frames: values.length,
  });
  const both = ({ pan, zoom }: Record<'pan' | 'zoom', number[]>) => ({ pan: cost(pan), zoom: cost(zoom) });
  return { ours: both(gathered.ours), bare: both(gathered.bare) };
}

async function samePoints(
  url: string,
  series: readonly string[],
  { fromMs, toMs }: { readonly fromMs: number; readonly toMs: number },
): Promise<ThinnedAnswer> {
  const marginMs = (toMs - fromMs) * 0.3;
  const query = new URLSearchParams();
  for (const id of series) query.append('series', id);
  query.set('fromMs', String(fromMs - marginMs));
  query.set('toMs', String(toMs + marginMs));
  query.set('buckets', String(BUCKETS * 1.6));
  const response = await fetch(`${url}/api/history/thinned?${query.toString()}`);
  return (await response.json()) as ThinnedAnswer;
}

interface Growth {
  readonly hours: number;
  readonly points: number;
  readonly p50: number | null;
  readonly p95: number | null;
}

/** The same movement over ever longer ranges. */
async function rangeGrowth(from: Browser): Promise<readonly Growth[]> {
  const feed = await playFeed({ historyMs: 2 * YEAR_MS });
  const rows: Growth[] = [];
  for (const hours of GROWTH_HOURS) {
    const toMs = feed.nowMs() - hours * HOUR_MS;
    const address = `${feed.url}/trends?show=${tracesOf(feed).join(',')}&fromMs=${toMs - hours * HOUR_MS}&toMs=${toMs}`;
    const { page, session } = await openScreen(from, address);
    await pause(SETTLED_MS);
    const frames = await scriptPerFrame(session, () => turnWheel(page, TURNS / 2, 'pan'));
    rows.push({
      hours,
      points: await pointsShown(page),
      p50: percentile(frames, 0.5),
      p95: percentile(frames, 0.95),
    });
    await page.close();
  }
  await feed.close();
  return rows;
}

async function pointsShown(page: Page): Promise<number> {
  return (await page.locator('.u-over').count()) * BUCKETS;
}

interface Findings {
  readonly frames: FrameCosts | null;
  readonly live: LiveCosts | null;
  readonly first: readonly number[] | null;
  readonly heap: HeapGrowth | null;
}

function sayFrames({ ours, bare }: FrameCosts): void {
  const row = ({ p50, p95, frames }: FrameCost) => ({
    'p50 ms': rounded(p50),
    'p95 ms': rounded(p95),
    frames,
  });
  console.table({
    'pan, ours': row(ours.pan),
    'pan, bare library': row(bare.pan),
    'zoom, ours': row(ours.zoom),
    'zoom, bare library': row(bare.zoom),
  });
}

function sayGrowth(growth: readonly Growth[]): void {
  console.table(
    growth.map(({ hours, points, p50, p95 }) => ({
      hours,
      points,
      'p50 ms': rounded(p50),
      'p95 ms': rounded(p95),
    })),
  );
}

function report({ frames, live, first, heap }: Findings): void {
  if (live !== null) {
    const { min10, min1 } = live;
    console.log(
      `live, ten values a second of each: ${min10.toFixed(1)} % of a core over 10 min, ${min1.toFixed(1)} % over 1 min`,
    );
  }
  if (first !== null)
    console.log(`first figure of the Line view: ${first.map((ms) => ms.toFixed(0)).join(', ')} ms`);
  if (heap !== null) {
    const { startMb, endMb, hours, messages } = heap;
    const sizes = `after 1 h: ${startMb.toFixed(2)} MB, after ${hours.toFixed(1)} h: ${endMb.toFixed(2)} MB`;
    console.log(`heap ${sizes}, ${messages} messages`);
  }
  const of = (which: 'ours' | 'bare') =>
    frames === null ? [] : (['pan', 'zoom'] as const).map((kind) => frames[which][kind].p95 ?? Number.NaN);
  const bare = of('bare');
  console.log(
    JSON.stringify({
      panP95Ms: worst(of('ours')),
      ratioToBare: worst(of('ours').map((p95, index) => p95 / (bare[index] ?? Number.NaN))),
      liveCorePercent: worst(live === null ? [] : [live.min10, live.min1]),
      gzipKb: rounded(gzippedKb()),
      firstFigureMs: worst(first ?? []),
      heapGrowthPercent: rounded(heap?.percent ?? null),
      barePanP95Ms: worst(bare),
      heapHours: rounded(heap?.hours ?? null),
    }),
  );
}

function worst(found: readonly number[]): number | null {
  return found.length === 0 ? null : rounded(Math.max(...found));
}

function gzippedKb(): number {
  const folder = path.join(PROJECT_ROOT, 'client', 'dist', 'assets');
  const scripts = readdirSync(folder).filter((name) => name.endsWith('.js'));
  return (
    scripts.reduce((sum, name) => sum + gzipSync(readFileSync(path.join(folder, name))).length, 0) / 1000
  );
}

function sayConditions(): void {
  const processor = cpus()[0]?.model ?? 'unknown processor';
  const memoryGib = Math.round(totalmem() / 2 ** 30);
  console.log(
    `${processor}, ${cpus().length} cores, ${memoryGib} GiB, Node ${process.version}, Chromium ${browser.version()}`,
  );
  console.log(
    `${TRACES} traces of ${BUCKETS} buckets in the window, a lane each, on 1920 x 1080, without a graphics card`,
  );
}

/** Null for what was not measured. */
function rounded(value: number | null): number | null {
  return value === null || Number.isNaN(value) ? null : Number(value.toFixed(2));
}
