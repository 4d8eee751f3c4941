import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { firstPlot, openTheatre, sayWhoActs, textOf, waitForText, type Theatre } from './open-page.ts';

const FEED = '/trends?show=a.line.feed-rate&spanMs=7200000';
const MINUTE_MS = 60_000;

describe('the Trends view', () => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
  });
  afterAll(() => theatre.close());

  it('notes a setting change under a name, and tells its effect from chance', async () => {
    const { feed } = theatre;
    const changedMs = feed.nowMs() - 30 * MINUTE_MS;
    feed.setSignal('a.line.feed-rate', (timeMs) => {
      const noise = Math.sin(timeMs / 7000) + Math.sin(timeMs / 2300) + Math.sin(timeMs / 911);
      return 13_000 + 20 * noise + (timeMs > changedMs ? 200 : 0);
    });
    const page = await theatre.open(FEED);
    await firstPlot(page);
    await page.getByRole('button', { name: 'Write a mark' }).click();
    const dialog = page.getByRole('dialog', { name: 'Write a mark on the time axis' });
    await dialog.getByLabel('What was done').fill('air gate 3 to 4');
    await dialog.getByLabel('When').selectOption('30');
    await dialog.getByRole('button', { name: 'Write it' }).click();
    await sayWhoActs(page, 'Ada');
    await page.getByRole('button', { name: /air gate 3 to 4/ }).click();
    await waitForText(page, '.trend-dock h2', /air gate 3 to 4 · noted by Ada$/);
    await waitForText(
      page,
      '.trend-dock tbody tr',
      /^Feed rate .* \+7\.\d bu\/h \+\d\.\d bu\/h to \+\d+\.\d bu\/h went up$/,
    );
    expect(feed.commands.at(-1)).toMatchObject({
      actor: { id: 'Ada' },
      command: {
        kind: 'write-mark',
        mark: { text: 'air gate 3 to 4', kind: 'setting', line: 'a', machine: null },
      },
    });
  });

  it('shows an alarm on the time axis where it was raised, and what it was', async () => {
    const page = await theatre.open(FEED);
    await firstPlot(page);
    theatre.feed.setAlarm(fakeAlarm('a.destoner.stop', { machine: 'destoner' }));
    await page.locator('.time-event.priority-high').first().click();
    await waitForText(page, '.trend-dock', /Destoner stopped/);
  });

  it('lays an earlier shift under, aligned by its start, and a link says so', async () => {
    const page = await theatre.open(FEED);
    await firstPlot(page);
    await page.getByRole('button', { name: 'Lay under' }).press('ArrowDown');
    await page
      .getByRole('menuitem', { name: /^Night shift/ })
      .first()
      .waitFor();
    await page.keyboard.press('End');
    await page.keyboard.press('Home');
    for (let down = 0; down < 3; down++) await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    await waitForText(page, '.trends-under', /^The broad pale line is Night shift\.$/);
    await expect.poll(() => new URL(page.url()).searchParams.get('underMs')).toBe(String(8 * 60 * MINUTE_MS));
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Lay under');
  });

  it('saves a view under a name and opens it again', async () => {
    const page = await theatre.open(FEED);
    await firstPlot(page);
    await choose(page, 'Views', 'Save this view …');
    await page.getByLabel('Name', { exact: true }).fill('feed, two hours');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('button', { name: '8 h', exact: true }).click();
    await choose(page, 'Views', 'feed, two hours');
    await expect
      .poll(() => page.getByRole('button', { name: '2 h', exact: true }).getAttribute('aria-pressed'))
      .toBe('true');
  });

  it('gives away the picture of what is seen', async () => {
    const page = await theatre.open(FEED);
    await firstPlot(page);
    await page.waitForLoadState('networkidle');
    const [svg, png] = [await taken(page, 'Picture, SVG'), await taken(page, 'Picture, PNG')];
    expect(svg.toString('utf8')).toMatch(/^<svg [^]*Feed rate \[bu\/h\][^]*<path d="M[^]*<\/svg>$/);
    expect(png.subarray(1, 4).toString('latin1')).toBe('PNG');
    expect(png.readUInt32BE(16)).toBe(3200);
  });

  it('asks the server for every reading of the stretch that is seen, not of another', async () => {
    const page = await theatre.open(FEED);
    await firstPlot(page);
    const asked = page.waitForRequest((request) => request.url().includes('/api/history/export'));
    await choose(page, 'Take away', 'Every reading, Parquet');
    const { searchParams } = new URL((await asked).url());
    expect(searchParams.getAll('series')).toEqual(['a.line.feed-rate']);
    expect(searchParams.get('format')).toBe('parquet');
    const spanMs = Number(searchParams.get('toMs')) - Number(searchParams.get('fromMs'));
    expect(Math.abs(spanMs - 120 * MINUTE_MS)).toBeLessThan(2);
  });

  it('moves the window with the strip of all that is kept, by hand and by keys', async () => {
    const page = await theatre.open(FEED);
    await firstPlot(page);
    const handle = page.getByRole('slider', { name: 'Window on the whole past of Feed rate' });
    await page.locator('.overview-course').waitFor();
    const box = await page.locator('.overview-touch').boundingBox();
    if (box === null) throw new Error('there is no strip');
    await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
    await waitForText(page, '.trends-window', /past( Fetching …)?$/);
    const before = await textOf(page, '.number-plain');
    expect(Number(await handle.getAttribute('aria-valuenow'))).toBeCloseTo(50, -1);
    await handle.press('ArrowLeft');
    await expect.poll(() => textOf(page, '.number-plain')).not.toBe(before);
  });

  it('keeps drawing what it has while the history is slow, and never shows an answer for another choice', async () => {
    const page = await theatre.open(FEED);
    const plot = await firstPlot(page);
    await page.waitForLoadState('networkidle');
    theatre.feed.setHistoryDelayMs(1500);
    await page.mouse.move(plot.x + plot.width / 2, plot.y + plot.height / 2);
    for (let turn = 0; turn < 12; turn++) {
      await page.mouse.wheel(0, -120);
      expect(await inkShare(page)).toBeGreaterThan(0.001);
    }
    await page.getByRole('checkbox', { name: 'Yield, this lot' }).check();
    theatre.feed.setHistoryDelayMs(0);
    await expect.poll(() => page.locator('.pane canvas').count()).toBe(2);
    await waitForText(page, '.trends-window', /past$/);
    await waitForText(page, '.pane:last-child .trace-head', /^Yield, this lot ?× 8\d\.\d % now$/);
  });
});

async function choose(page: Page, menu: string, item: string): Promise<void> {
  await page.getByRole('button', { name: menu, exact: true }).click();
  await page.getByRole('menuitem', { name: item, exact: true }).click();
}

async function taken(page: Page, item: string): Promise<Buffer> {
  const coming = page.waitForEvent('download');
  await choose(page, 'Take away', item);
  return readFileSync(await (await coming).path());
}

/** The share of the first plot's canvas on which the darkest tone, the trace, has been drawn. */
function inkShare(page: Page): Promise<number> {
  return page.evaluate(() => {
    const canvas = document.querySelector<HTMLCanvasElement>('.pane canvas');
    const pixels = canvas?.getContext('2d')?.getImageData(80, 0, canvas.width - 80, canvas.height).data ?? [];
    let dark = 0;
    for (let at = 0; at < pixels.length; at += 4) {
      if ((pixels[at] ?? 255) < 60 && (pixels[at + 3] ?? 0) > 200) dark += 1;
    }
    return dark / (pixels.length / 4);
  });
}
