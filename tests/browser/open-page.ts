import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { expect } from 'vitest';
import { buildClient } from '#server/launch/build-client.mjs';
import { launchChromium } from '#tests/support/chromium.ts';
import { fakePlantFeed, type FakePlantFeed, type FeedOptions } from '#tests/support/fake-plant-feed.ts';

/** A plant that a test plays, and browsers that look at it. Closed with everything it opened. */
export interface Theatre {
  readonly feed: FakePlantFeed;
  /** A browser of its own, as another person has: no storage is shared. Fails the test on an error in the page. */
  open(path: string, options?: BrowserContextOptions): Promise<Page>;
  close(): Promise<void>;
}

export const WALL = { width: 1920, height: 1080 };
export const DESK = { width: 1366, height: 768 };
export const PHONE = { width: 390, height: 844 };

/** What a page may say on its console while a test takes its server away, or asks for what is refused. */
const EXPECTED_ERRORS =
  /status of 400|ERR_CONNECTION_REFUSED|ERR_EMPTY_RESPONSE|ERR_SOCKET_NOT_CONNECTED|ERR_CONNECTION_RESET|ERR_FAILED|WebSocket/;

export async function openTheatre(options: FeedOptions = {}): Promise<Theatre> {
  await buildClient(() => undefined);
  const feed = await fakePlantFeed(options);
  const browser: Browser = await launchChromium();
  const errors: string[] = [];
  return {
    feed,
    async open(path, context = {}) {
      const page = await browser.newPage({ viewport: DESK, ...context });
      page.setDefaultTimeout(20_000);
      page.on('pageerror', (error) => errors.push(String(error)));
      page.on('console', (message) => {
        if (message.type() === 'error' && !EXPECTED_ERRORS.test(message.text())) errors.push(message.text());
      });
      await page.goto(feed.url + path);
      return page;
    },
    async close() {
      await browser.close();
      await feed.close();
      expect(errors).toEqual([]);
    },
  };
}

/** The text of a part, spaces made one. */
export async function textOf(page: Page, selector: string): Promise<string> {
  const text = await page.locator(selector).first().innerText();
  return text.replaceAll(/\s+/g, ' ').trim();
}

/** Waits until a part reads as it should; nothing here sleeps for a fixed time. */
export async function waitForText(page: Page, selector: string, pattern: RegExp): Promise<void> {
  await expect.poll(() => textOf(page, selector), { timeout: 20_000, interval: 50 }).toMatch(pattern);
}

/** Where the first plot of a chart lies on the page, once it is there. */
export async function firstPlot(
  page: Page,
): Promise<{ x: number; y: number; width: number; height: number }> {
  const plot = page.locator('.panes .u-over').first();
  await expect
    .poll(async () => (await plot.boundingBox())?.width ?? 0, { timeout: 20_000 })
    .toBeGreaterThan(100);
  const box = await plot.boundingBox();
  if (box === null) throw new Error('the first plot went away while it was looked at');
  return box;
}

/** Writes a name into "Who is acting?" and uses it. */
export async function sayWhoActs(page: Page, name: string): Promise<void> {
  const dialog = page.getByRole('dialog', { name: 'Who is acting?' });
  await dialog.getByLabel('Your name').fill(name);
  await dialog.getByRole('button', { name: 'Use this name' }).click();
}
