/**
 * Takes a picture of every view in both themes and three sizes, of a plant whose numbers are a function of time.
 * They go into test-results/screenshots, to be looked at; the README's own picture is taken anew as well.
 */
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { buildClient } from '#server/launch/build-client.mjs';
import { PROJECT_ROOT } from '#server/launch/project-root.mjs';
import { launchChromium } from '#tests/support/chromium.ts';
import { busyMorning } from '#tests/support/fake-alarms.ts';
import { fakePlantFeed } from '#tests/support/fake-plant-feed.ts';

const FOLDER = path.join(PROJECT_ROOT, 'test-results', 'screenshots');
const README_PICTURE = path.join(PROJECT_ROOT, 'tests', 'browser', 'pictures', 'line-view.png');

const VIEWS = {
  line: '/',
  trends: '/trends',
  alarms: '/alarms',
  machines: '/machines',
  machine: '/machines/air-screen-fan',
  field: '/field',
  figure: '/figure/a.line.feed-rate',
  balance: '/balance/a',
} as const;
const THEMES = { light: 'light', dim: 'dark' } as const;
const SIZES = {
  wall: { width: 1920, height: 1080 },
  desk: { width: 1366, height: 768 },
  phone: { width: 390, height: 844 },
} as const;

type Shot = readonly [view: keyof typeof VIEWS, theme: keyof typeof THEMES, size: keyof typeof SIZES];

mkdirSync(FOLDER, { recursive: true });
mkdirSync(path.dirname(README_PICTURE), { recursive: true });
await buildClient((line) => console.log(line));
const feed = await fakePlantFeed();
busyMorning(feed);
const browser = await launchChromium();
for (const shot of allShots()) {
  const file = path.join(FOLDER, `${shot.join('-')}.png`);
  await takePicture(browser, shot, file);
  console.log(path.relative(PROJECT_ROOT, file));
}
await takePicture(browser, ['line', 'light', 'wall'], README_PICTURE);
console.log(path.relative(PROJECT_ROOT, README_PICTURE));
await browser.close();
await feed.close();

function allShots(): readonly Shot[] {
  const keys = <Key extends string>(record: Readonly<Record<Key, unknown>>) => Object.keys(record) as Key[];
  return keys(VIEWS).flatMap((view) =>
    keys(THEMES).flatMap((theme) => keys(SIZES).map((size): Shot => [view, theme, size])),
  );
}

async function takePicture(from: Browser, [view, theme, size]: Shot, file: string): Promise<void> {
  const isPhone = size === 'phone';
  const page = await from.newPage({
    viewport: SIZES[size],
    colorScheme: THEMES[theme],
    reducedMotion: 'reduce',
    hasTouch: isPhone,
  });
  await page.goto(feed.url + VIEWS[view]);
  await isDrawn(page);
  await page.screenshot({ path: file, fullPage: isPhone });
  await page.close();
}

/** Live, with its typeface, and with every past that it asked for. */
async function isDrawn(page: Page): Promise<void> {
  await page.locator('.link-badge', { hasText: 'field live' }).waitFor();
  await page.evaluate(() => document.fonts.ready);
  await page.waitForLoadState('networkidle');
  // One more second brings every chart its next drawing.
  await page.waitForTimeout(1200);
}
