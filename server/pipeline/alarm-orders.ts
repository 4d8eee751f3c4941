import type { AlarmOrder } from '../alarms/alarm-order.ts';
import type { Command } from '../contract/commands.ts';
import { faultText, type FaultParts } from '../contract/faults.ts';
import type { Actor } from '../contract/records.ts';

/** What a command about alarms needs to know of them. */
export interface AlarmsAtHand {
  /** By the plant's clock, which alarms live by. */
  readonly plantNowMs: number;
  /** Why an order cannot be carried out as things stand; null when it can. */
  readonly refusalOf: (order: AlarmOrder) => FaultParts | null;
  /** Ids of the alarms of a machine; none where there is no such machine. */
  readonly alarmsOf: (line: string, machine: string) => readonly string[];
}

/** The orders that a command comes to, or why it is refused. */
export type OrdersOfCommand = { readonly orders: readonly AlarmOrder[] } | { readonly refused: string };

/** What a command asks of the alarms; null for a command that is about something else. */
export function ordersOfCommand(command: Command, actor: Actor, at: AlarmsAtHand): OrdersOfCommand | null {
  const orders = askedOrders(command, { by: actor.id, timeMs: at.plantNowMs }, at);
  if (orders === null) return null;
  const [first] = orders;
  if (first === undefined) return { refused: noSuchMachine(command) };
  const refusals = orders.map(at.refusalOf);
  const [refusal] = refusals;
  const fitting = orders.filter((_, index) => refusals[index] === null);
  if (fitting.length > 0 || refusal === undefined || refusal === null) return { orders: fitting };
  const subject = `${command.kind} ${refusal.subject}`;
  return { refused: faultText('COMMAND_REFUSED', { ...refusal, subject }) };
}

type Asked = Pick<AlarmOrder, 'by' | 'timeMs'>;

function askedOrders(command: Command, asked: Asked, at: AlarmsAtHand): readonly AlarmOrder[] | null {
  switch (command.kind) {
    case 'acknowledge-alarm':
      return [{ ...asked, kind: 'acknowledge', alarm: command.alarm }];
    case 'acknowledge-alarms':
      return [...new Set(command.alarms)].map((alarm) => ({ ...asked, kind: 'acknowledge', alarm }));
    case 'reset-alarm':
      return [{ ...asked, kind: 'reset', alarm: command.alarm }];
    case 'unshelve-alarm':
      return [{ ...asked, kind: 'unshelve', alarm: command.alarm }];
    case 'shelve-alarm': {
      const { alarm, forMs, isOneShot, reason } = command;
      return [{ ...asked, kind: 'shelve', alarm, untilMs: asked.timeMs + forMs, isOneShot, reason }];
    }
    default:
      return serviceOrders(command, asked, at);
  }
}

function serviceOrders(command: Command, asked: Asked, at: AlarmsAtHand): readonly AlarmOrder[] | null {
  switch (command.kind) {
    case 'take-alarm-out-of-service':
      return [{ ...asked, kind: 'take-out-of-service', alarm: command.alarm, reason: command.reason }];
    case 'put-alarm-back-in-service':
      return [{ ...asked, kind: 'put-back-in-service', alarm: command.alarm, reason: command.reason }];
    case 'take-machine-out-of-service':
    case 'put-machine-back-in-service': {
      const isOut = command.kind === 'take-machine-out-of-service';
      const kind = isOut ? 'take-out-of-service' : 'put-back-in-service';
      const alarms = at.alarmsOf(command.line, command.machine);
      return alarms.map((alarm) => ({ ...asked, kind, alarm, reason: command.reason }));
    }
    default:
      return null;
  }
}

function noSuchMachine(command: Command): string {
  return faultText('COMMAND_REFUSED', {
    subject: `${command.kind} machine`,
    got: 'machine' in command ? `${command.line}.${command.machine}` : 'none',
    expected: 'a machine of the configuration that has alarms',
    remedy: 'nothing was changed',
  });
}
