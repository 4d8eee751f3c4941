import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTheatre, PHONE, sayWhoActs, textOf, WALL, waitForText, type Theatre } from './open-page.ts';

const FAN = '[data-machine="air-screen-fan"]';

describe('maintenance', () => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
  });
  afterAll(() => theatre.close());

  it('sees the machine of most concern first: what it may be, how far off, when it is due', async () => {
    const page = await theatre.open('/machines', { viewport: WALL });
    await waitForText(
      page,
      '.machine-row:first-child',
      /^Air-screen fan running Likely: Bearing wears Vibration \+62\.0 % since /,
    );
    await waitForText(page, `${FAN} .machine-due`, /^in about \d+ days \(\d+ to \d+\)$/);
    await waitForText(page, '[data-machine="elevator-1"]', /As learnt/);
    await waitForText(page, '.machines-common', /Motor current \+4\.0 % on many machines since/);
  });

  it('opens the machine: the reasons, the cloud over its band, the drift over time', async () => {
    const page = await theatre.open('/machines', { viewport: WALL });
    await page.getByRole('link', { name: 'Air-screen fan' }).click();
    await waitForText(
      page,
      '.machine-cause',
      /Worn rolling surfaces shake the housing\. Look at: Listen and feel for play/,
    );
    await page.getByRole('img', { name: /^Vibration: measured points/ }).waitFor();
    await page.getByRole('img', { name: 'Vibration: residual over time' }).waitFor();
    expect(await page.locator('.chart-point').count()).toBeGreaterThan(100);
    await waitForText(page, '[data-verdict="watch"]', /^Vibration zone C 1\.8 mm\/s watch/);
  });

  it('learns what is normal anew only with a reason, under a name', async () => {
    const page = await theatre.open('/machines/air-screen-fan', { viewport: WALL });
    await page.getByRole('button', { name: /^Learn what is normal/ }).click();
    await page.getByRole('button', { name: 'Learn', exact: true }).click();
    await waitForText(page, '#order-missing', /^Say why/);
    await page.getByRole('textbox', { name: 'Reason' }).fill('New bearing');
    await page.getByRole('button', { name: 'Learn', exact: true }).click();
    await sayWhoActs(page, 'Bo');
    await expect
      .poll(() => theatre.feed.commands.at(-1)?.command)
      .toMatchObject({ kind: 'learn-machine', machine: 'air-screen-fan', reason: 'New bearing' });
  });

  it('reads the list on a phone without moving it sideways', async () => {
    const page = await theatre.open('/machines', { viewport: PHONE });
    await page.locator(FAN).waitFor();
    expect(await textOf(page, FAN)).toMatch(/^Air-screen fan/);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(PHONE.width);
  });
});
