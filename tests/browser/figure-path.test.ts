import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTheatre, WALL, waitForText, type Theatre } from './open-page.ts';

describe('why a number is what it is', () => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
  });
  afterAll(() => theatre.close());

  it('is said a click away from the figure: formula, inputs with their errors, and what makes it uncertain', async () => {
    const page = await theatre.open('/', { viewport: WALL });
    await page.locator('[data-figure="a.line.feed-rate"] .figure-card-title a').click();
    await waitForText(page, '#figure-title', /^Feed rate$/);
    await waitForText(
      page,
      '.figure-view',
      /How it is worked out Clean seed over the feed that it came from/,
    );
    await waitForText(
      page,
      '.figure-inputs tbody tr:first-child',
      /^feed Intake running .* 100 % 0\.25 %, scatter 0\.30 % \+ /,
    );
    await waitForText(page, '.figure-inputs tbody tr:last-child', /^clean seed .* not stated$/);
    await waitForText(page, '.figure-cause:nth-child(2)', /^Intake running: scatter of its readings ± /);
    await page.getByRole('link', { name: 'Back to the line' }).click();
    await page.locator('.figure-card').first().waitFor();
  });

  it('says of a line which scale does not fit, by how much and since when', async () => {
    const page = await theatre.open('/', { viewport: WALL });
    await page.getByRole('link', { name: 'Look at the balance' }).click();
    await waitForText(
      page,
      '[data-verdict]',
      /^One instrument does not fit the others\. Intake running reads about 2\.1 % high \(± 0\.6 %\)\. So since /,
    );
    await waitForText(page, '.balance-view', /not measured .* not observable/);
    await waitForText(page, '.balance-view', /180 s 214 s ± 6 s does not agree/);
  });

  it('is plain about a figure that there is not', async () => {
    const page = await theatre.open('/figure/a.line.nothing');
    await waitForText(page, '#content', /^There is no figure of that name\.$/);
    expect(await page.locator('.figure-view').count()).toBe(0);
  });
});
