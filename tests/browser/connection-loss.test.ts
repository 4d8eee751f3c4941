import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { fakeLink } from '#tests/support/fake-records.ts';
import { openTheatre, textOf, waitForText, type Theatre } from './open-page.ts';

const FEED_CARD = '[data-figure="a.line.feed-rate"] .figure-card-value';

describe('a screen whose connection is lost', () => {
  let theatre: Theatre;

  beforeEach(async () => {
    theatre = await openTheatre();
  });
  afterEach(() => theatre.close());

  it('says so with since when, shows no old number as if it were live, and recovers by itself', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    await theatre.feed.cut();
    await waitForText(page, '.banner', /^No connection to the server since 14:0\d:\d\d\./);
    expect(await textOf(page, FEED_CARD)).toMatch(/^no connection since 14:0\d:\d\d$/);
    expect(await page.locator('.ribbon-drawing .number, .ribbon-rejects .number').count()).toBe(0);
    expect(await textOf(page, '[data-machine="destoner"]')).toBe('Destoner not known');
    await theatre.feed.mend();
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    expect(await page.locator('.banner').count()).toBe(0);
  });

  it('fetches the hole from the history once the server is back', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    await theatre.feed.cut();
    await page.locator('.banner').waitFor();
    const asked = page.waitForRequest((request) => request.url().includes('/api/history/thinned'));
    await theatre.feed.mend();
    const question = new URL((await asked).url()).searchParams;
    const askedMs = Number(question.get('toMs')) - Number(question.get('fromMs'));
    // All that is shown, and a little beyond it, so that moving a little shows no hole.
    expect(askedMs).toBeGreaterThanOrEqual(1_800_000);
    expect(askedMs).toBeLessThan(2 * 1_800_000);
  });

  it('notices a server that is frozen although its socket stands', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    theatre.feed.freeze(true);
    await waitForText(page, '.banner', /^No connection to the server since/);
    theatre.feed.freeze(false);
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
  });

  it('does not let anybody acknowledge into the void', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    await theatre.feed.cut();
    await page.locator('.banner').waitFor();
    expect(await page.locator('.alarm .button:enabled').count()).toBe(0);
  });

  it('tells a lost link to the plant from a lost connection to the server, and what still works', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    theatre.feed.setUnknown(['a.line.feed-rate'], 'link-down');
    theatre.feed.setLinks([
      fakeLink(theatre.feed.nowMs(), {
        state: 'lost',
        because: 'LINK_DOWN plant: got no answer, expected one; look',
      }),
    ]);
    await waitForText(
      page,
      '.banner',
      /^No link to the plant \(plant\) since 14:0\d:\d\d\. Trends, the journal/,
    );
    await waitForText(page, FEED_CARD, /^no link to plant$/);
    await waitForText(page, '.link-badge', /^field lost since 14:0\d:\d\d$/);
    await page.getByRole('link', { name: 'Field', exact: true }).click();
    await waitForText(page, '[data-endpoint="plant"]', /lost .* LINK_DOWN/);
  });

  it('opens with one clear line while the server does not answer, and by itself once it does', async () => {
    const page = await theatre.open('/');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
    await page.route('**/api/plant', (route) => route.abort());
    await page.reload();
    await waitForText(page, '.opening [role=status]', /^The server does not answer\./);
    await page.unroute('**/api/plant');
    await waitForText(page, FEED_CARD, /^48\d bu\/h$/);
  });
});
