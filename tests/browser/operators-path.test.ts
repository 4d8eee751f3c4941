import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { firstPlot, openTheatre, sayWhoActs, textOf, waitForText, type Theatre } from './open-page.ts';

const ML_PER_FL_OZ = 29.573_529_562_5;
const FEED_CARD = '[data-figure="a.line.feed-rate"]';
const DOSE_ALARM = '[data-alarm="a.treater.dose.target"]';

describe('an operator', () => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
  });
  afterAll(() => theatre.close());

  it('opens Line and sees the figures change with the plant', async () => {
    const page = await theatre.open('/');
    await waitForText(page, `${FEED_CARD} .figure-card-value`, /^48\d bu\/h$/);
    theatre.feed.scale('a.line.feed-rate', 0.5);
    await waitForText(page, `${FEED_CARD} .figure-card-value`, /^24\d bu\/h$/);
    theatre.feed.scale('a.line.feed-rate', 2);
    await waitForText(page, `${FEED_CARD} .figure-card-value`, /^48\d bu\/h$/);
  });

  it('sees each machine with its name and state, and the bypassed one as such', async () => {
    const page = await theatre.open('/');
    await waitForText(page, '[data-machine="destoner"]', /^Destoner running$/);
    await waitForText(page, '[data-machine="length-grader"]', /^Length grader bypassed$/);
    expect(await page.locator('.ribbon-names [data-machine]').count()).toBe(11);
    theatre.feed.setSignal('a.destoner.running', () => 0);
    await waitForText(page, '[data-machine="destoner"]', /^Destoner stopped$/);
    theatre.feed.setSignal('a.destoner.running', () => 1);
  });

  it('sees what leaves each machine, with its band', async () => {
    const page = await theatre.open('/');
    await waitForText(page, '[data-reject="air-screen"]', /^screenings 4\.\d % 3\.0–5\.0$/);
    await waitForText(page, '.line-notes', /drawn 4 times as wide\. Shares are of line feed\./);
  });

  it('acknowledges an alarm under a name, and a second browser sees it', async () => {
    const [one, other] = await Promise.all([theatre.open('/'), theatre.open('/alarms')]);
    theatre.feed.setAlarm(
      fakeAlarm('a.treater.dose.target', {
        machine: 'treater',
        subject: 'a.treater.dose',
        code: 'above-target',
        params: {
          value: { value: 5.08 * ML_PER_FL_OZ, unit: 'mL/bu' },
          target: { value: 4.8 * ML_PER_FL_OZ, unit: 'mL/bu' },
        },
        raisedMs: theatre.feed.nowMs(),
      }),
    );
    await waitForText(one, DOSE_ALARM, /^Dose 5\.8 % over target/);
    await waitForText(one, '.alarm-counts', /^1 to acknowledge · 1 active$/);
    await waitForText(one, '[data-figure="a.treater.dose"]', /high alarm/);
    await one.getByRole('button', { name: 'Acknowledge: Dose 5.8 % over target' }).click();
    await sayWhoActs(one, 'Ada');
    await waitForText(one, DOSE_ALARM, /acknowledged \d\d:\d\d:\d\d Ada · high$/);
    await waitForText(other, DOSE_ALARM, /acknowledged \d\d:\d\d:\d\d Ada · high$/);
    expect(theatre.feed.commands).toEqual([
      {
        actor: { id: 'Ada', role: 'operator' },
        command: { kind: 'acknowledge-alarm', alarm: 'a.treater.dose.target' },
      },
    ]);
    await other.getByRole('tab', { name: 'Journal' }).click();
    await waitForText(other, '.journal-room tbody tr', /high Dose .* unacknowledged → acknowledged Ada$/);
  });

  it('is told why an acknowledgement was refused', async () => {
    const page = await theatre.open('/');
    theatre.feed.setAlarm(fakeAlarm('a.scalper.stop', { machine: 'scalper' }));
    await page.locator('[data-alarm="a.scalper.stop"]').waitFor();
    theatre.feed.forgetAlarm('a.scalper.stop');
    await page.getByRole('button', { name: 'Acknowledge: Scalper stopped' }).click();
    await sayWhoActs(page, 'Ada');
    await waitForText(page, '[data-alarm="a.scalper.stop"] [role=alert]', /^Not done\. COMMAND_REFUSED/);
  });

  it('opens Trends, zooms in with the wheel, and goes back to live', async () => {
    const page = await theatre.open('/');
    await page.getByRole('link', { name: 'Open in Trends' }).click();
    await page.locator('.trends-room canvas').first().waitFor();
    await waitForText(page, '.trends-window', /live$/);
    const before = await spanMs(page);
    const asked = page.waitForRequest((request) => askedSpanMs(request.url()) < before / 2);
    const plot = await firstPlot(page);
    await page.mouse.move(plot.x + plot.width / 2, plot.y + plot.height / 2);
    for (let turn = 0; turn < 9; turn++) await page.mouse.wheel(0, -120);
    await waitForText(page, '.trends-window', /past$/);
    await expect.poll(() => spanMs(page)).toBeLessThan(before / 2);
    await asked;
    await page.getByRole('button', { name: 'Back to live' }).click();
    await waitForText(page, '.trends-window', /live$/);
  });

  it('measures a stretch by dragging, shows it, and the address opens exactly that again', async () => {
    const page = await theatre.open('/trends');
    const plot = await firstPlot(page);
    await page.mouse.move(plot.x + plot.width * 0.25, plot.y + 20);
    await page.mouse.down();
    await page.mouse.move(plot.x + plot.width * 0.5, plot.y + 20, { steps: 4 });
    await page.mouse.up();
    await waitForText(page, '.trend-dock tbody tr', /^Feed rate 4\d\d bu\/h .* bu$/);
    await page.getByRole('button', { name: 'Show this stretch' }).click();
    await waitForText(page, '.trends-window', /past$/);
    expect(await spanMs(page)).toBeCloseTo(1_800_000 / 4, -4.5);
    await expect.poll(() => new URL(page.url()).searchParams.has('fromMs')).toBe(true);
    const { search } = new URL(page.url());
    const again = await theatre.open(`/trends${search}`);
    await waitForText(again, '.trends-window', /past$/);
    expect(await textOf(again, '.number-plain')).toBe(await textOf(page, '.number-plain'));
    expect(await textOf(again, '.trend-dock h2')).toBe(await textOf(page, '.trend-dock h2'));
  });

  it('chooses a tag by its name and sees it beside the figures', async () => {
    const page = await theatre.open('/trends');
    await page.getByRole('searchbox', { name: 'Find a tag or figure' }).fill('destoner current');
    await page.getByRole('checkbox', { name: 'Destoner motor current' }).check();
    await waitForText(page, '.pane:last-child .trace-head', /^Destoner motor current ?× 1[34]\.\d A now$/);
    await page.getByRole('button', { name: 'Take Destoner motor current away' }).click();
    await expect.poll(() => page.locator('.pane').count()).toBe(3);
  });

  it('reads in the units of choice, and the choice outlives the page', async () => {
    const page = await theatre.open('/');
    await page.getByRole('button', { name: 'Display' }).click();
    await page.getByRole('radio', { name: 't/h' }).check();
    await page.getByRole('radio', { name: 'mL/100 kg' }).check();
    await page.getByRole('button', { name: 'Done' }).click();
    await waitForText(page, `${FEED_CARD} .figure-card-value`, /^13\.\d\d t\/h$/);
    await page.reload();
    await waitForText(page, `${FEED_CARD} .figure-card-value`, /^13\.\d\d t\/h$/);
    await waitForText(page, '[data-figure="a.treater.dose"] .figure-card-value', /^5\d\d mL\/100 kg$/);
  });
});

/** How much time a question to the history is about; endless where the address is another. */
function askedSpanMs(address: string): number {
  const { pathname, searchParams } = new URL(address);
  if (pathname !== '/api/history/thinned') return Infinity;
  return Number(searchParams.get('toMs')) - Number(searchParams.get('fromMs'));
}

async function spanMs(page: Awaited<ReturnType<Theatre['open']>>): Promise<number> {
  const window = page.locator('.trends-window');
  const [from, to] = await Promise.all([window.getAttribute('data-from'), window.getAttribute('data-to')]);
  return Number(to) - Number(from);
}
