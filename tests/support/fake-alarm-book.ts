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
      const { actor, command } = request;
      const alarm = command.kind === 'acknowledge-alarm' ? alarms.get(command.alarm) : undefined;
      if (alarm === undefined) return { done: false, refused: REFUSED };
      const state = alarm.state === 'returned-unacknowledged' ? 'normal' : 'acknowledged';
      set({ ...alarm, state, acknowledged: { by: actor.id, timeMs: nowMs() } });
      return { done: true, recordId: commands.length };
    },
  };
}

const REFUSED =
  'COMMAND_REFUSED acknowledge-alarm: got no such alarm, expected a standing one; look at the list again';
