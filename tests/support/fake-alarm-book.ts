import type { AlarmMessage, AlarmTransition } from '#server/contract/alarm-message.ts';
import type { CommandRequest, CommandResult } from '#server/contract/commands.ts';

/** The alarms of a fake plant, their journal, and what people did about them. */
export interface FakeAlarmBook {
  readonly commands: readonly CommandRequest[];
  /** Newest first. */
  readonly journal: readonly AlarmTransition[];
  all(): AlarmMessage[];
  set(alarm: AlarmMessage): void;
  forget(id: string): void;
  carryOut(request: CommandRequest): CommandResult;
}

export function fakeAlarmBook(nowMs: () => number, tell: (alarm: AlarmMessage) => void): FakeAlarmBook {
  const alarms = new Map<string, AlarmMessage>();
  const journal: AlarmTransition[] = [];
  const commands: CommandRequest[] = [];

  function set(alarm: AlarmMessage): void {
    const { id, line, machine, subject, state, code, priority, params, acknowledged } = alarm;
    const from = alarms.get(id)?.state ?? 'normal';
    const by = state === 'acknowledged' ? (acknowledged?.by ?? null) : null;
    alarms.set(id, alarm);
    const about = { alarm: id, line, machine, subject };
    journal.unshift({ ...about, timeMs: nowMs(), from, to: state, code, priority, by, params });
    tell(alarm);
  }

  return {
    commands,
    journal,
    all: () => [...alarms.values()],
    set,
    forget: (id) => void alarms.delete(id),
    carryOut(request) {
      commands.push(request);
      if (request.command.kind === 'write-mark') return { done: true, recordId: commands.length };
      const changed = changedBy(request, alarms, nowMs());
      if (changed.length === 0) return { done: false, refused: REFUSED };
      for (const alarm of changed) set(alarm);
      return { done: true, recordId: commands.length };
    },
  };
}

/** What the order makes of the alarms that it names and that stand. */
function changedBy(
  { actor, command }: CommandRequest,
  alarms: ReadonlyMap<string, AlarmMessage>,
  timeMs: number,
): AlarmMessage[] {
  const by = actor.id;
  const standing = (ids: readonly string[]) => ids.flatMap((id) => alarms.get(id) ?? []);
  switch (command.kind) {
    case 'acknowledge-alarm':
    case 'acknowledge-alarms': {
      const ids = command.kind === 'acknowledge-alarm' ? [command.alarm] : command.alarms;
      return standing(ids).map((alarm) => ({
        ...alarm,
        state: alarm.state === 'returned-unacknowledged' ? 'normal' : 'acknowledged',
        acknowledged: { by, timeMs },
      }));
    }
    case 'shelve-alarm': {
      const { forMs, isOneShot, reason } = command;
      const shelved = { by, timeMs, untilMs: timeMs + forMs, isOneShot, reason };
      return standing([command.alarm]).map((alarm) => ({ ...alarm, state: 'shelved', shelved }));
    }
    case 'unshelve-alarm':
      return standing([command.alarm]).map((alarm) => ({ ...alarm, state: 'unacknowledged' }));
    case 'take-alarm-out-of-service': {
      const outOfService = { by, timeMs, reason: command.reason };
      return standing([command.alarm]).map((alarm) => ({ ...alarm, state: 'out-of-service', outOfService }));
    }
    default:
      return [];
  }
}

const REFUSED =
  'COMMAND_REFUSED acknowledge-alarm: got no such alarm, expected a standing one; look at the list again';
