import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { openTheatre, textOf, waitForText, type Theatre } from './open-page.ts';

const TABS_MAX = 60;

describe('a person with a keyboard alone', () => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
  });
  afterAll(() => theatre.close());

  it('acknowledges an alarm, naming who acts', async () => {
    theatre.feed.setAlarm(fakeAlarm('a.destoner.stop', { machine: 'destoner' }));
    const page = await theatre.open('/');
    await page.locator('[data-alarm="a.destoner.stop"]').waitFor();
    await tabTo(page, /^Acknowledge: Destoner stopped$/);
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    await tabTo(page, /^Your name/);
    await page.keyboard.type('Ada');
    await page.keyboard.press('Enter');
    await waitForText(page, '[data-alarm="a.destoner.stop"]', /acknowledged \d\d:\d\d:\d\d Ada/);
  });

  it('leaves the dialog with Escape without acting', async () => {
    theatre.feed.setAlarm(fakeAlarm('a.sizer.stop', { machine: 'sizer' }));
    const page = await theatre.open('/');
    await page.locator('[data-alarm="a.sizer.stop"]').waitFor();
    const before = theatre.feed.commands.length;
    await tabTo(page, /^Acknowledge: Sizer stopped$/);
    await page.keyboard.press('Enter');
    await page.getByRole('dialog').waitFor();
    await page.keyboard.press('Escape');
    await expect.poll(() => page.getByRole('dialog').count()).toBe(0);
    expect(await focused(page)).toMatch(/^Acknowledge: Sizer stopped$/);
    expect(theatre.feed.commands).toHaveLength(before);
  });

  it('skips to the content with the first stop of the page', async () => {
    const page = await theatre.open('/');
    await page.locator('.figure-card').first().waitFor();
    await page.keyboard.press('Tab');
    expect(await focused(page)).toBe('Skip to the content');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('content');
  });

  it('moves and zooms a trend, and goes back to live', async () => {
    const page = await theatre.open('/trends');
    await page.locator('.trends-room canvas').first().waitFor();
    await page.locator('.trends-room').focus();
    await page.keyboard.press('ArrowLeft');
    await waitForText(page, '.trends-window', /past$/);
    const before = await textOf(page, '.number-plain');
    await page.keyboard.press('+');
    await expect.poll(() => textOf(page, '.number-plain')).not.toBe(before);
    await page.keyboard.press('End');
    await waitForText(page, '.trends-window', /live$/);
  });

  it('sees where the focus is on everything that can be reached', async () => {
    const page = await theatre.open('/');
    await page.locator('.alarm .button').first().waitFor();
    const stops: string[] = [];
    for (;;) {
      await page.keyboard.press('Tab');
      const stop = await page.evaluate(() => {
        const element = document.activeElement ?? document.body;
        const style = getComputedStyle(element);
        return element === document.body
          ? null
          : `${style.outlineStyle} ${style.outlineWidth} on ${element.className}`;
      });
      if (stop === null || stops.length > TABS_MAX) break;
      stops.push(stop);
    }
    expect(stops.length).toBeGreaterThan(8);
    expect(stops.filter((stop) => !stop.startsWith('solid 2px'))).toEqual([]);
  });
});

/** Presses Tab until something of this name has the focus. */
async function tabTo(page: Page, name: RegExp): Promise<void> {
  for (let press = 0; press < TABS_MAX; press++) {
    await page.keyboard.press('Tab');
    if (name.test(await focused(page))) return;
  }
  throw new Error(`no stop named ${String(name)} within ${TABS_MAX} presses of Tab`);
}

function focused(page: Page): Promise<string> {
  return page.evaluate(() => {
    const element = document.activeElement;
    if (element instanceof HTMLInputElement) return element.labels?.[0]?.textContent ?? '';
    return element?.getAttribute('aria-label') ?? element?.textContent ?? '';
  });
}
