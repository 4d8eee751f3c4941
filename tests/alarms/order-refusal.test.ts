import { describe, expect, it } from 'vitest';
import { faultText } from '#server/contract/faults.ts';
import { alarmSetup } from '#server/alarms/alarm-setup.ts';
import { alarmStateAtStart } from '#server/alarms/alarm-state.ts';
import { orderRefusal } from '#server/alarms/order-refusal.ts';
import { configurationOf, HOT, hotRule } from './rules.ts';

const setup = alarmSetup(configurationOf([hotRule()]), []);
const state = alarmStateAtStart(setup);
const HOUR = 3_600_000;
const base = { alarm: HOT, by: 'Operator 3', timeMs: 0 };
const shelve = {
  ...base,
  kind: 'shelve',
  untilMs: HOUR,
  isOneShot: false,
  reason: 'probe is being changed',
} as const;
const textOf = (order: Parameters<typeof orderRefusal>[2]) => {
  const parts = orderRefusal(setup, state, order);
  return parts === null ? null : faultText('COMMAND_REFUSED', parts);
};

describe('orderRefusal', () => {
  it('lets through what can be done', () => {
    expect(textOf(shelve)).toBeNull();
    expect(textOf({ ...shelve, untilMs: 12 * HOUR })).toBeNull();
    expect(textOf({ ...base, kind: 'take-out-of-service', reason: 'overhaul' })).toBeNull();
  });

  it.each([
    [
      'an unknown alarm',
      { ...base, alarm: 'a.no', kind: 'acknowledge' } as const,
      'COMMAND_REFUSED a.no: got no such alarm, expected an alarm of the plant; look at the list again',
    ],
    [
      'acknowledging what is normal',
      { ...base, kind: 'acknowledge' } as const,
      'COMMAND_REFUSED a.dryer.hot: got normal, expected a state in which one can acknowledge; nothing was changed; somebody may have been quicker',
    ],
    [
      'shelving for more than 12 h',
      { ...shelve, untilMs: 13 * HOUR },
      'COMMAND_REFUSED a.dryer.hot shelved time [h]: got 13, expected > 0 and <= 12; take the alarm out of service if it must be longer',
    ],
    [
      'shelving until before now',
      { ...shelve, untilMs: -HOUR },
      'COMMAND_REFUSED a.dryer.hot shelved time [h]: got -1, expected > 0 and <= 12; take the alarm out of service if it must be longer',
    ],
    [
      'shelving without a reason',
      { ...shelve, reason: '  ' },
      'COMMAND_REFUSED a.dryer.hot reason: got "", expected a reason that the next shift understands; say why',
    ],
  ])('refuses %s and says what to do', (_what, order, text) => {
    expect(textOf(order)).toBe(text);
  });
});
