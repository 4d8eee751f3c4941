import { readFileSync } from 'node:fs';
import path from 'node:path';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PROJECT_ROOT } from '#server/launch/project-root.mjs';
import { busyMorning, fakeAlarm } from '#tests/support/fake-alarms.ts';
import { DESK, openTheatre, PHONE, type Theatre } from './open-page.ts';

const AXE = readFileSync(path.join(PROJECT_ROOT, 'node_modules', 'axe-core', 'axe.min.js'), 'utf8');
const VIEWS = [
  '/',
  '/trends',
  '/alarms',
  '/machines',
  '/machines/air-screen-fan',
  '/field',
  '/figure/a.line.feed-rate',
  '/balance/a',
];

describe.each(['light', 'dark'] as const)('axe in the %s theme', (colorScheme) => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
    busyMorning(theatre.feed);
    theatre.feed.setAlarm(fakeAlarm('a.intake.stop', { machine: 'intake', priority: 'critical' }));
  });
  afterAll(() => theatre.close());

  it.each(VIEWS)('finds nothing at %s on a desk', async (view) => {
    // The policy of the pages lets no script in but their own; axe is let in for the test.
    const page = await theatre.open(view, { viewport: DESK, colorScheme, bypassCSP: true });
    await page.locator('.header-alarms').waitFor();
    expect(await violations(page)).toEqual([]);
  });

  // A phone changes the layout, not the colours: one theme tells all that it can have wrong.
  const onPhones = colorScheme === 'light' ? VIEWS : [];
  it.each(onPhones)('finds nothing at %s on a phone', async (view) => {
    const page = await theatre.open(view, { viewport: PHONE, colorScheme, bypassCSP: true, hasTouch: true });
    await page.locator('.header-alarms').waitFor();
    expect(await violations(page)).toEqual([]);
  });

  it.each(['Who is acting?', 'Display'])('finds nothing in the dialog of "%s"', async (name) => {
    const page = await theatre.open('/', { viewport: DESK, colorScheme, bypassCSP: true });
    await page.getByRole('button', { name }).click();
    await page.getByRole('dialog').waitFor();
    expect(await violations(page)).toEqual([]);
  });
});

/** What axe finds against WCAG 2.2 A and AA and its own advice, as rule and place. */
async function violations(page: Page): Promise<readonly string[]> {
  await page.evaluate(AXE);
  const results = await page.evaluate(() =>
    (globalThis as unknown as { axe: { run(): Promise<AxeResults> } }).axe.run(),
  );
  return results.violations.flatMap(({ id, nodes }) =>
    nodes.map(({ html }) => `${id}: ${html.slice(0, 120)}`),
  );
}
