import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';
import { openTheatre, sayWhoActs, WALL, waitForText, type Theatre } from './open-page.ts';

const HOUR_MS = 3_600_000;

describe('the Alarms view', () => {
  let theatre: Theatre;

  beforeAll(async () => {
    theatre = await openTheatre();
  });
  afterAll(() => theatre.close());

  async function openWith(id: string, more: Parameters<typeof fakeAlarm>[1] = {}): Promise<Page> {
    theatre.feed.setAlarm(fakeAlarm(id, more));
    const page = await theatre.open('/alarms', { viewport: WALL });
    await page.locator(`[data-alarm="${id}"]`).waitFor();
    return page;
  }

  it('acknowledges with one hand: down to the alarm, Enter', async () => {
    const page = await openWith('a.scalper.stop', { machine: 'scalper', priority: 'critical' });
    await page.getByRole('list', { name: /Standing alarms/ }).focus();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('Enter');
    await sayWhoActs(page, 'Ada');
    await waitForText(page, '[data-alarm="a.scalper.stop"]', /acknowledged \d\d:\d\d:\d\d Ada/);
    theatre.feed.setAlarm(fakeAlarm('a.scalper.stop', { state: 'normal' }));
  });

  it('shows the card of the alarm that is chosen', async () => {
    const page = await openWith('a.destoner.stop', { machine: 'destoner', card: 'machine-stopped' });
    await page.locator('[data-alarm="a.destoner.stop"]').click();
    await waitForText(page, '.response', /Respond within 10 min/);
    await waitForText(page, '.response-do', /^What to do See which machine stopped first\. Lock out and tag/);
    theatre.feed.setAlarm(fakeAlarm('a.destoner.stop', { state: 'normal' }));
  });

  it('shelves an alarm for a time with a reason, and refuses to without', async () => {
    const page = await openWith('a.sizer.stop', { machine: 'sizer' });
    await page.getByRole('button', { name: 'Shelve: Sizer stopped' }).click();
    await page.getByRole('button', { name: 'Shelve', exact: true }).click();
    await waitForText(page, '#order-missing', /^Say why/);
    await page.getByRole('combobox', { name: 'For' }).selectOption('4 hours');
    await page.getByRole('textbox', { name: 'Reason' }).fill('Sizer is cleaned');
    await page.getByRole('button', { name: 'Shelve', exact: true }).click();
    await sayWhoActs(page, 'Ada');
    await waitForText(page, '.alarm-aside summary', /^Set aside: 1 shelved/);
    await page.locator('.alarm-aside summary').click();
    await waitForText(page, '[data-state="shelved"]', /shelved until .* by Ada\. Reason: Sizer is cleaned/);
    expect(theatre.feed.commands.at(-1)?.command).toEqual({
      kind: 'shelve-alarm',
      alarm: 'a.sizer.stop',
      forMs: 4 * HOUR_MS,
      isOneShot: false,
      reason: 'Sizer is cleaned',
    });
    await page.getByRole('button', { name: 'Take off the shelf: Sizer stopped' }).click();
    await waitForText(page, '[data-alarm="a.sizer.stop"]', /unacknowledged · high$/);
    theatre.feed.setAlarm(fakeAlarm('a.sizer.stop', { state: 'normal' }));
  });

  it('acknowledges those that are selected and leaves the others', async () => {
    theatre.feed.setAlarm(fakeAlarm('a.intake.stop', { machine: 'intake' }));
    const page = await openWith('a.aspirator.stop', { machine: 'aspirator' });
    await waitForText(page, '.alarms-tools', /Acknowledge all shown \(2\)/);
    await page.getByRole('checkbox', { name: 'Select: Aspirator stopped' }).check();
    await page.getByRole('button', { name: 'Acknowledge selected (1)' }).click();
    await sayWhoActs(page, 'Ada');
    await waitForText(page, '[data-alarm="a.aspirator.stop"]', /acknowledged \d\d/);
    expect(theatre.feed.commands.at(-1)?.command).toEqual({
      kind: 'acknowledge-alarms',
      alarms: ['a.aspirator.stop'],
    });
    await waitForText(page, '[data-alarm="a.intake.stop"]', /unacknowledged · high$/);
    for (const machine of ['intake', 'aspirator']) {
      theatre.feed.setAlarm(fakeAlarm(`a.${machine}.stop`, { state: 'normal' }));
    }
  });

  it('takes out of service under a role, which the order carries', async () => {
    const page = await openWith('a.dryer.stop', { machine: 'dryer' });
    await page.getByRole('button', { name: 'Who is acting?' }).click();
    await page.getByRole('textbox', { name: 'Your name' }).fill('Bo');
    await page.getByRole('combobox', { name: 'Role' }).selectOption('maintenance');
    await page.getByRole('button', { name: 'Use this name' }).click();
    await page.getByRole('button', { name: 'Out of service: Dryer stopped' }).click();
    await page.getByRole('textbox', { name: 'Reason' }).fill('Burner is rebuilt');
    await page.getByRole('button', { name: 'Take out of service' }).click();
    await waitForText(page, '.alarm-aside summary', /^Set aside: 1/);
    expect(theatre.feed.commands.at(-1)).toEqual({
      actor: { id: 'Bo', role: 'maintenance' },
      command: { kind: 'take-alarm-out-of-service', alarm: 'a.dryer.stop', reason: 'Burner is rebuilt' },
    });
    theatre.feed.setAlarm(fakeAlarm('a.dryer.stop', { state: 'normal' }));
  });

  it('says how good the alarms are, with the target that was missed', async () => {
    const page = await theatre.open('/alarms');
    await page.getByRole('tab', { name: 'How good they are' }).click();
    await waitForText(page, '.measure-missed', /^Chattering alarms 1 0 missed$/);
    await waitForText(
      page,
      '.measures',
      /Acknowledged after 42 s in the median, 3 min at the 95th percentile\./,
    );
  });

  it('tries a changed rule on what was recorded, and says why a proposal is refused', async () => {
    const page = await theatre.open('/alarms');
    await page.getByRole('tab', { name: 'Try a rule' }).click();
    const proposal = page.getByRole('textbox', { name: /Proposed rules/ });
    await page.getByRole('combobox', { name: 'Rule' }).selectOption('a.destoner.running.stop');
    await expect.poll(() => proposal.inputValue()).toContain('onDelayMs: 500');
    await page.getByRole('button', { name: 'Play it' }).click();
    await waitForText(page, '.replay-result', /^As it is: 1 annunciation\. As proposed: 0\./);
    await proposal.fill('nothing');
    await page.getByRole('button', { name: 'Play it' }).click();
    await waitForText(page, '.replay [role=alert]', /^RULES_PROPOSAL proposal/);
  });

  it('counts what waits in the title of the window', async () => {
    const page = await openWith('a.intake.stop', { machine: 'intake' });
    await expect.poll(() => page.title()).toMatch(/^\(1\) /);
    theatre.feed.setAlarm(fakeAlarm('a.intake.stop', { state: 'normal' }));
    await expect.poll(() => page.title()).toMatch(/^[^(]/);
  });
});
