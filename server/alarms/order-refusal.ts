import type { FaultParts } from '../contract/faults.ts';
import type { AlarmOrder } from './alarm-order.ts';
import type { AlarmSetup } from './alarm-setup.ts';
import type { AlarmState } from './alarm-state.ts';
import { alarmStateOf, lifeAfter, type LifecycleEvent } from './lifecycle.ts';

/** ISA-18.2 leaves the longest time to the plant; a shift and a half-forgotten handover is as long as it may be. */
export const SHELVED_MS_MAX = 12 * 3_600_000;

const EVENTS: Readonly<Record<AlarmOrder['kind'], LifecycleEvent>> = {
  acknowledge: 'acknowledge',
  reset: 'reset',
  shelve: 'shelve',
  unshelve: 'unshelve',
  'take-out-of-service': 'take-out',
  'put-back-in-service': 'put-back',
};

/** Why an order cannot be carried out as things stand, for the person who gives it; null when it can. */
export function orderRefusal(setup: AlarmSetup, state: AlarmState, order: AlarmOrder): FaultParts | null {
  const slot = setup.slotOf.get(order.alarm);
  const record = slot === undefined ? undefined : state.records[slot];
  const plan = slot === undefined ? undefined : setup.plans[slot];
  if (record === undefined || plan === undefined) {
    return refused(order.alarm, 'no such alarm', 'an alarm of the plant', 'look at the list again');
  }
  const unfit = argumentRefusal(order);
  if (unfit !== null) return unfit;
  const isOfUse = lifeAfter(record.life, EVENTS[order.kind], plan.isLatching) !== record.life;
  // Out of service is further away than a shelf: what is there cannot be put on one as well.
  if (isOfUse && !(order.kind === 'shelve' && record.life.isOutOfService)) return null;
  const remedy = 'nothing was changed; somebody may have been quicker';
  return refused(order.alarm, alarmStateOf(record.life), `a state in which one can ${order.kind}`, remedy);
}

function argumentRefusal(order: AlarmOrder): FaultParts | null {
  if ('reason' in order && order.reason.trim() === '') {
    return refused(`${order.alarm} reason`, '""', 'a reason that the next shift understands', 'say why');
  }
  if (order.kind !== 'shelve') return null;
  const lengthMs = order.untilMs - order.timeMs;
  if (lengthMs > 0 && lengthMs <= SHELVED_MS_MAX) return null;
  const expected = `> 0 and <= ${SHELVED_MS_MAX / 3_600_000}`;
  const got = String(lengthMs / 3_600_000);
  return refused(
    `${order.alarm} shelved time [h]`,
    got,
    expected,
    'take the alarm out of service if it must be longer',
  );
}

function refused(subject: string, got: string, ...[expected, remedy]: readonly [string, string]): FaultParts {
  return { subject, got, expected, remedy };
}
