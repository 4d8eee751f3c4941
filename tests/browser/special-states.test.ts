import type { Page } from 'playwright-core';
import { afterEach, describe, expect, it } from 'vitest';
import { busyMorning, fakeAlarm } from '#tests/support/fake-alarms.ts';
import { SKETCH_MACHINES, type FakeMachine } from '#tests/support/fake-line.ts';
import { DESK, openTheatre, PHONE, textOf, waitForText, WALL, type Theatre } from './open-page.ts';

const YIELD = '[data-figure="a.line.yield"]';

describe('a screen in a special state', () => {
  let theatre: Theatre | undefined;

  afterEach(async () => {
    await theatre?.close();
    theatre = undefined;
  });

  it('writes in words why a figure is unknown, and never a 0 or a dash', async () => {
    theatre = await openTheatre();
    theatre.feed.setUnknown(['a.line.yield'], 'line-filling');
    theatre.feed.setUnknown(['a.scalper.reject-share'], 'tag-stale');
    const page = await theatre.open('/');
    await waitForText(page, `${YIELD} .figure-card-value`, /^line filling$/);
    await waitForText(page, `${YIELD} .figure-card-facts`, /^The line is filling: .+\.$/);
    await waitForText(page, '[data-reject="scalper"]', /^overs reading too old 0\.4–1\.2$/);
    theatre.feed.setUnknown(['a.line.yield'], null);
    await waitForText(page, `${YIELD} .figure-card-value`, /^86\.\d %$/);
  });

  it('draws a gap where nothing was known, not a line', async () => {
    theatre = await openTheatre();
    const { feed } = theatre;
    const gap = [feed.nowMs() - 1_200_000, feed.nowMs() - 600_000] as const;
    feed.setSignal('a.line.feed-rate', (timeMs) => (timeMs > gap[0] && timeMs < gap[1] ? null : 13_000));
    const page = await theatre.open('/trends?show=a.line.feed-rate');
    await page.locator('.trends-room canvas').waitFor();
    await waitForText(page, '.trace-head', /now$/);
    await expect.poll(() => inkedColumns(page, [0.1, 0.25])).toBeGreaterThan(0.9);
    expect(await inkedColumns(page, [0.4, 0.6])).toBe(0);
    expect(await inkedColumns(page, [0.75, 0.95])).toBeGreaterThan(0.9);
  });

  it('stays usable in a flood of 120 alarms', async () => {
    theatre = await openTheatre();
    for (let number = 0; number < 120; number++) {
      theatre.feed.setAlarm(fakeAlarm(`a.flood.${number}`, { priority: number % 2 === 0 ? 'high' : 'low' }));
    }
    const page = await theatre.open('/');
    await waitForText(page, '.alarm-counts', /^120 to acknowledge · 120 active$/);
    await waitForText(page, `${YIELD} .figure-card-value`, /^86\.\d %$/);
    const first = await page.locator('.alarm').first().getAttribute('class');
    expect(first).toContain('priority-high');
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
  });

  it('keeps the old picture until a slow history has answered, and drops what was asked before', async () => {
    theatre = await openTheatre();
    const page = await theatre.open('/trends?show=a.line.feed-rate');
    await expect.poll(() => inkedColumns(page, [0.1, 0.9])).toBeGreaterThan(0.9);
    theatre.feed.setHistoryDelayMs(1500);
    await page.getByRole('button', { name: '2 h' }).click();
    await waitForText(page, '.trends-window', /Fetching …$/);
    expect(await inkedColumns(page, [0.8, 0.95])).toBeGreaterThan(0.9);
    await page.getByRole('button', { name: '10 min' }).click();
    await expect.poll(() => textOf(page, '.trends-window'), { timeout: 20_000 }).toMatch(/live$/);
    await expect.poll(() => inkedColumns(page, [0.1, 0.9])).toBeGreaterThan(0.9);
  });

  it('draws a line of four machines without a treater, whose rejects nobody weighs', async () => {
    const small: readonly FakeMachine[] = [
      { name: 'Pit', kind: 'intake' },
      {
        name: 'Cleaner',
        kind: 'air-screen',
        reject: { name: 'screenings', share: 0.04, band: [0, 1], isMeasured: false },
      },
      {
        name: 'Table',
        kind: 'gravity-table',
        reject: { name: 'lights', share: 0.05, band: [0, 1], isMeasured: false },
      },
      { name: 'Bin', kind: 'bin' },
    ];
    theatre = await openTheatre({ machines: small });
    const page = await theatre.open('/');
    await waitForText(page, '[data-reject="table"]', /^lights not measured$/);
    expect(await page.locator('.ribbon-names [data-machine]').count()).toBe(4);
    await waitForText(page, '.line-notes', /assumed, a reject before it is not measured/);
    expect(await page.locator('[data-kind="dose"]').count()).toBe(0);
  });

  it.each([
    ['the wall', WALL],
    ['a desk', DESK],
    ['a phone', PHONE],
  ])('lets no words of sixteen machines touch on %s', async (_name, viewport) => {
    const more = ['Elevator 1', 'Elevator 2', 'Elevator 3', 'Spiral', 'Colour sorter'];
    const extra = more.map((name): FakeMachine => ({
      name,
      kind: name.startsWith('Elevator') ? 'elevator' : 'spiral',
      ...(name.startsWith('Elevator')
        ? {}
        : { reject: { name: 'off-colour', share: 0.01, band: [0.005, 0.02] } }),
    }));
    theatre = await openTheatre({
      machines: [...SKETCH_MACHINES.slice(0, 8), ...extra, ...SKETCH_MACHINES.slice(8)],
    });
    const page = await theatre.open('/', { viewport });
    await waitForText(page, '[data-reject="sizer"]', /splits/);
    expect(await touchingLabels(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
  });

  it.each(['/', '/trends', '/alarms', '/field'])(
    'needs no sideways scrolling at %s on a phone',
    async (view) => {
      theatre = await openTheatre();
      busyMorning(theatre.feed);
      const page = await theatre.open(view, { viewport: PHONE, hasTouch: true });
      await page.locator('.header-alarms').waitFor();
      await page.waitForLoadState('networkidle');
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(PHONE.width);
    },
  );

  it('puts alarms and key figures first on a phone, before the ribbon', async () => {
    theatre = await openTheatre();
    busyMorning(theatre.feed);
    const page = await theatre.open('/', { viewport: PHONE });
    await page.locator('.column-row').first().waitFor();
    const tops = await Promise.all(
      ['.line-alarms', '.line-cards', '.line-ribbon-area'].map(async (part) => {
        const box = await page.locator(part).boundingBox();
        return box?.y ?? Number.NaN;
      }),
    );
    expect(tops).toEqual(tops.toSorted((one, other) => one - other));
  });

  it('blinks only for an unacknowledged critical alarm, and not for people who ask for reduced motion', async () => {
    theatre = await openTheatre();
    busyMorning(theatre.feed);
    theatre.feed.setAlarm(fakeAlarm('a.intake.stop', { machine: 'intake', priority: 'critical' }));
    const page = await theatre.open('/');
    await page.locator('[data-alarm="a.intake.stop"]').waitFor();
    expect(await animated(page)).toEqual(['bar bar-critical bar-blinking']);
    const calm = await theatre.open('/', { reducedMotion: 'reduce' });
    await calm.locator('[data-alarm="a.intake.stop"]').waitFor();
    expect(await animated(calm)).toEqual([]);
  });
});

/** The share of pixel columns between two shares of the first plot's width in which the trace's ink is seen. */
function inkedColumns(page: Page, [from, to]: readonly [number, number]): Promise<number> {
  return page.evaluate(
    ([start, end]) => {
      const canvas = document.querySelector<HTMLCanvasElement>('.trends-room canvas');
      const over = document.querySelector('.trends-room .u-over');
      const context = canvas?.getContext('2d');
      if (canvas === null || context === null || context === undefined || over === null) return -1;
      const [box, plot] = [canvas.getBoundingClientRect(), over.getBoundingClientRect()];
      const scale = canvas.width / box.width;
      const left = Math.round((plot.left - box.left + plot.width * start) * scale);
      const width = Math.round(plot.width * (end - start) * scale);
      const top = Math.round((plot.top - box.top) * scale);
      const height = Math.round(plot.height * scale);
      const { data } = context.getImageData(left, top, width, height);
      const inked = Array.from({ length: width }, (_, x) => {
        for (let y = 0; y < height; y++) {
          const at = (y * width + x) * 4;
          if ((data[at + 3] ?? 0) > 200 && (data[at] ?? 255) < 90) return true;
        }
        return false;
      });
      return inked.filter(Boolean).length / width;
    },
    [from, to] as const,
  );
}

/** Pairs of words on the ribbon that lie over each other. */
function touchingLabels(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const selector = '.ribbon-name, .ribbon-reject-label, .column-name, .column-reject-facts';
    const labels = [...document.querySelectorAll(selector)].flatMap((label) =>
      [...label.querySelectorAll('b, span')].filter(
        (part) => part.childElementCount === 0 && part.textContent !== '',
      ),
    );
    const boxes = labels.map((label) => {
      const range = document.createRange();
      range.selectNodeContents(label);
      return { text: label.textContent, box: range.getBoundingClientRect() };
    });
    const isOver = (one: DOMRect, other: DOMRect) =>
      one.left < other.right - 1 &&
      other.left < one.right - 1 &&
      one.top < other.bottom - 4 &&
      other.top < one.bottom - 4;
    return boxes.flatMap((one, index) =>
      boxes
        .slice(index + 1)
        .flatMap((other) => (isOver(one.box, other.box) ? [`${one.text} / ${other.text}`] : [])),
    );
  });
}

function animated(page: Page): Promise<readonly string[]> {
  return page.evaluate(() =>
    document
      .getAnimations()
      .map((animation) =>
        animation.effect instanceof KeyframeEffect ? (animation.effect.target?.className ?? '') : '',
      ),
  );
}
