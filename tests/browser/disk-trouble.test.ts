import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openTheatre, textOf, waitForText, type Theatre } from './open-page.ts';

const FEED_CARD = '[data-figure="a.line.feed-rate"] .figure-card-value';
const TROUBLE = /^Readings are not being kept since 14:0\d:\d\d\. Live view and alarms go on\./;

describe('a disk that takes no readings', () => {
  let theatre: Theatre;

  beforeEach(async () => {
    theatre = await openTheatre();
  });
  afterEach(() => theatre.close());

  function full(waitingCount: number, lostCount: number): void {
    const because = 'HISTORY_UNWRITABLE history: got a full disk, expected room; make some';
    const sinceMs = theatre.feed.nowMs();
    theatre.feed.setRecording({ isRecording: false, sinceMs, waitingCount, lostCount, because });
  }

  it('is said on every screen with how much waits, while values stay live, and no longer once it takes them', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    full(23_260, 7);
    await waitForText(page, '.banner', TROUBLE);
    await waitForText(page, '.banner-more', /^23\s260 wait in memory, 7 were given up\.$/);
    theatre.feed.scale('a.line.feed-rate', 0.5);
    await waitForText(page, FEED_CARD, /^24\d bu\/h$/);
    for (const view of ['Trends', 'Alarms', 'Field', 'Line']) {
      await page.getByRole('link', { name: view }).first().click();
      await waitForText(page, '.banner', TROUBLE);
    }
    await page.goto(`${theatre.feed.url}/no-such-page`);
    await waitForText(page, '.banner', TROUBLE);

    theatre.feed.setRecording({
      isRecording: true,
      sinceMs: theatre.feed.nowMs(),
      waitingCount: 0,
      lostCount: 7,
      because: null,
    });
    await page.locator('.banner').first().waitFor({ state: 'detached' });
    expect(await page.locator('.banner').count()).toBe(0);
  });

  it('is read aloud once, not with every tick that makes more of them wait', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    full(100, 0);
    await waitForText(page, '.banner', TROUBLE);
    const spoken = await page.locator('[role=status] .banner:not([aria-hidden])').allInnerTexts();
    full(200, 0);
    await waitForText(page, '.banner-more', /^200 wait/);
    expect(spoken).toHaveLength(1);
    expect(await textOf(page, '[role=status] .banner:not([aria-hidden])')).not.toMatch(/100|200/);
  });
});
