import type { Browser, CDPSession, Page } from 'playwright-core';
import { fakePlantFeed, type FakePlantFeed, type FeedOptions } from '#tests/support/fake-plant-feed.ts';

export const SCREEN = { width: 1920, height: 1080 };
export const TRACES = 12;
export const BUCKETS = 2000;
/** Our page fetches somewhat more than it shows. */
const MARGINS = 1.6;

/** Twelve figures of the line and its machines, none of them a contact. */
export function tracesOf(feed: FakePlantFeed): readonly string[] {
  const { figures, tags } = feed.plant;
  const analogue = tags.filter(({ unit }) => unit !== 'state');
  return [...figures, ...analogue].slice(0, TRACES).map(({ id }) => id);
}

export interface Opened {
  readonly page: Page;
  readonly session: CDPSession;
}

export async function openScreen(browser: Browser, address: string): Promise<Opened> {
  const page = await browser.newPage({ viewport: SCREEN });
  // The window has as many buckets as the measurement is about, whatever the page would have asked for itself.
  await page.route('**/api/history/thinned?*', async (route) => {
    const url = new URL(route.request().url());
    const isChart = url.searchParams.getAll('series').length > 1;
    if (isChart) url.searchParams.set('buckets', String(BUCKETS * MARGINS));
    await route.continue({ url: url.href });
  });
  const session = await page.context().newCDPSession(page);
  await page.goto(address);
  return { page, session };
}

export function playFeed(options: FeedOptions = {}): Promise<FakePlantFeed> {
  return fakePlantFeed(options);
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

const FRAME_MS = 16;

/** Turns the wheel over the middle of the first chart, once a frame: to and fro, so that the window comes back. */
export async function turnWheel(page: Page, turns: number, kind: 'pan' | 'zoom'): Promise<void> {
  const box = await page.locator('.u-over').first().boundingBox();
  if (box === null) throw new Error('there is no chart to turn the wheel over');
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  for (let turn = 0; turn < turns; turn++) {
    const there = Math.floor(turn / 20) % 2 === 0 ? -1 : 1;
    await page.mouse.wheel(kind === 'pan' ? there * 40 : 0, kind === 'zoom' ? there * 40 : 0);
    await pause(FRAME_MS);
  }
}
