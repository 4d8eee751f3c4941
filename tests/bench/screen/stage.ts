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

/** Turns the wheel over the middle of the first chart, once a frame: to and fro, so that the window comes back. */
export async function turnWheel(page: Page, turns: number, kind: 'pan' | 'zoom'): Promise<void> {
  await page.evaluate(`(${TURN})(${turns}, ${kind === 'pan'})`);
}

/** Runs in the page; the rest of the house has no types of a browser. */
const TURN = `(count, isPan) => new Promise((done) => {
  const over = document.querySelector('.u-over');
  const box = over.getBoundingClientRect();
  const at = { clientX: box.left + box.width / 2, clientY: box.top + box.height / 2 };
  let turn = 0;
  const step = () => {
    if (turn >= count) return done();
    const by = Math.floor(turn / 20) % 2 === 0 ? -40 : 40;
    const wheel = { deltaX: isPan ? by : 0, deltaY: isPan ? 0 : by };
    over.dispatchEvent(new WheelEvent('wheel', { ...at, ...wheel, bubbles: true, cancelable: true }));
    turn += 1;
    requestAnimationFrame(step);
  };
  requestAnimationFrame(step);
})`;
