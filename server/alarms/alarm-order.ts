import { withDue, unshelved } from './advance-alarm.ts';
import type { AlarmPlan } from './alarm-plan.ts';
import type { AlarmRecord } from './alarm-record.ts';
import type { AlarmTick } from './alarm-tick.ts';
import { happened } from './alarm-work.ts';

interface Ordered {
  readonly alarm: string;
  readonly by: string;
  readonly timeMs: number;
}

/** What a person does to an alarm. */
export type AlarmOrder =
  | (Ordered & { readonly kind: 'acknowledge' | 'reset' | 'unshelve' })
  | (Ordered & {
      readonly kind: 'shelve';
      readonly untilMs: number;
      readonly isOneShot: boolean;
      readonly reason: string;
    })
  | ServiceOrder;

type ServiceOrder = Ordered & {
  readonly kind: 'take-out-of-service' | 'put-back-in-service';
  readonly reason: string;
};

/**
 * Does what a person asked. An order that no longer fits is without effect: two people may press at the same
 * time, and an alarm may return while the order is on its way.
 */
export function carriedOut(tick: AlarmTick, order: AlarmOrder): void {
  const slot = tick.setup.slotOf.get(order.alarm);
  const plan = slot === undefined ? undefined : tick.setup.plans[slot];
  const record = slot === undefined ? undefined : tick.records[slot];
  if (slot === undefined || plan === undefined || record === undefined) return;
  tick.records[slot] = withDue(ordered(plan, record, { order, tick }));
}

function ordered(
  plan: AlarmPlan,
  record: AlarmRecord,
  { order, tick }: { readonly order: AlarmOrder; readonly tick: AlarmTick },
): AlarmRecord {
  const { by, timeMs } = order;
  const how = { by, timeMs, work: tick.work };
  switch (order.kind) {
    case 'acknowledge':
      return acknowledged(plan, record, how);
    case 'reset':
      return happened(plan, record, { ...how, event: 'reset' });
    case 'unshelve':
      return unshelved(plan, record, how);
    case 'shelve': {
      if (record.life.isShelved || record.life.isOutOfService) return record;
      const { untilMs, isOneShot, reason } = order;
      const told = { shelved: { by, timeMs, untilMs, isOneShot, reason } };
      return happened(plan, record, { ...how, event: 'shelve', told, said: { reason, untilMs } });
    }
    default:
      return served(plan, record, { ...how, order });
  }
}

function served(
  plan: AlarmPlan,
  record: AlarmRecord,
  {
    order,
    ...how
  }: Omit<Parameters<typeof happened>[2], 'event' | 'told' | 'said'> & { readonly order: ServiceOrder },
): AlarmRecord {
  const { by, timeMs, reason } = order;
  const isOut = order.kind === 'take-out-of-service';
  if (isOut === record.life.isOutOfService) return record;
  return isOut
    ? happened(plan, record, {
        ...how,
        event: 'take-out',
        told: { outOfService: { by, timeMs, reason } },
        said: { reason },
      })
    : happened(plan, record, {
        ...how,
        event: 'put-back',
        told: { acknowledged: null, outOfService: null },
        said: { reason },
      });
}

function acknowledged(
  plan: AlarmPlan,
  record: AlarmRecord,
  how: Omit<Parameters<typeof happened>[2], 'event' | 'told'>,
): AlarmRecord {
  const after = happened(plan, record, { ...how, event: 'acknowledge' });
  if (after.life === record.life) return record;
  return { ...after, told: { ...after.told, acknowledged: { by: how.by ?? '', timeMs: how.timeMs } } };
}
