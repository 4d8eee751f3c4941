import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildClient } from '#server/launch/build-client.mjs';
import { launchChromium } from '#tests/support/chromium.ts';
import { demoSystem, type Started, type System } from '#tests/support/running-system.ts';
import { DESK, firstPlot, sayWhoActs, textOf, waitForText } from './open-page.ts';

const FEED_VALUE = '[data-figure="a.line.feed-rate"] .figure-card-value';
const STOP_ALARM = '[data-alarm="a.destoner.stopped"]';

describe('an operator before the simulated plant, with nothing faked', () => {
  let system: System;
  let server: Started;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    await buildClient(() => undefined);
    system = await demoSystem();
    await system.startSimulator();
    server = await system.startServer();
    browser = await launchChromium();
    page = await browser.newPage({ viewport: DESK });
    page.setDefaultTimeout(30_000);
    await page.goto(server.address);
  });
  afterAll(async () => {
    await browser.close();
    await system.dispose();
  });

  it('opens Line and sees the figures change', async () => {
    await waitForText(page, FEED_VALUE, /^[45]\d\d bu\/h(± [\d.]+)?$/);
    const first = await textOf(page, FEED_VALUE);
    await expect.poll(() => textOf(page, FEED_VALUE), { timeout: 30_000 }).not.toBe(first);
  });

  it('is told which machine stopped first when a stop is provoked, and acknowledges it', async () => {
    await system.upset('destoner-stop');
    await waitForText(page, STOP_ALARM, /^Destoner stopped first .*Sizer.*Intake/);
    await waitForText(page, '[data-machine="destoner"]', /stopped$/);
    await page.getByRole('button', { name: 'Acknowledge: Destoner stopped first' }).click();
    await sayWhoActs(page, 'Operator 3');
    await waitForText(page, STOP_ALARM, /acknowledged .* Operator 3/);
  });

  it('opens Trends, zooms, and goes back to live', async () => {
    await page.getByRole('link', { name: 'Open in Trends' }).click();
    await waitForText(page, '.trends-window', /live$/);
    const plot = await firstPlot(page);
    await page.mouse.move(plot.x + plot.width / 2, plot.y + plot.height / 2);
    for (let turn = 0; turn < 6; turn += 1) await page.mouse.wheel(0, -120);
    await waitForText(page, '.trends-window', /past$/);
    await page.getByRole('button', { name: 'Back to live' }).click();
    await waitForText(page, '.trends-window', /live$/);
  });

  it('reads why figures are unknown when the plant falls silent, and that the link is down', async () => {
    await page.goto(server.address);
    await waitForText(page, FEED_VALUE, /bu\/h/);
    await system.endSimulator();
    await waitForText(page, FEED_VALUE, /plant|link|scale|answer/i);
  });
});
