import type { AlarmMessage, AlarmState } from '../contract/alarm-message.ts';
import type { Command, CommandRequest, CommandResult } from '../contract/commands.ts';
import { faultText } from '../contract/faults.ts';
import type { CommandDesk } from '../ports/command-desk.ts';
import type { Authorship, RecordStore } from '../ports/record-store.ts';

/** More than people can ask in a tick; beyond it the asker is told to try again. */
const WAITING_COUNT_MAX = 1000;

const NEEDS_ACKNOWLEDGING: ReadonlySet<AlarmState> = new Set([
  'unacknowledged',
  'returned-unacknowledged',
  'latched-unacknowledged',
]);

interface Waiting {
  readonly request: CommandRequest;
  readonly answer: (result: CommandResult) => void;
}

export interface CommandContext {
  readonly records: RecordStore;
  readonly nowMs: number;
  readonly alarmOf: (id: string) => AlarmMessage | undefined;
  readonly isLine: (id: string) => boolean;
  readonly isCrop: (id: string) => boolean;
}

/** What a tick does about the commands that waited for it. */
export interface CommandWork {
  readonly acknowledgements: readonly {
    readonly alarm: string;
    readonly by: string;
    readonly timeMs: number;
  }[];
  /** Answers the acknowledgements: null once what followed from them is durable, or why it is not. */
  readonly confirm: (failure: Error | null) => Promise<void>;
  readonly haveLotsChanged: boolean;
}

/** Commands wait here for the next tick: what people do never runs in the middle of a computation. */
export class CommandQueue implements CommandDesk {
  #waiting: Waiting[] = [];

  carryOut(request: CommandRequest): Promise<CommandResult> {
    if (this.#waiting.length >= WAITING_COUNT_MAX) {
      const got = this.#waiting.length;
      return Promise.resolve(
        refusal('commands waiting', got, `< ${WAITING_COUNT_MAX}; try again in a second`),
      );
    }
    return new Promise((answer) => this.#waiting.push({ request, answer }));
  }

  /** Carries out what waits; acknowledgements are handed to the alarms and answered by `confirm`. */
  async work(context: CommandContext): Promise<CommandWork> {
    const waiting = this.#waiting;
    this.#waiting = [];
    const accepted: { alarm: string; by: string; timeMs: number; waiting: Waiting }[] = [];
    let haveLotsChanged = false;
    for (const item of waiting) {
      const { command, actor } = item.request;
      if (command.kind !== 'acknowledge-alarm') {
        haveLotsChanged ||= command.kind === 'start-lot' || command.kind === 'end-lot';
        await answerRecord(item, context);
        continue;
      }
      const refused = refusedAcknowledgement(command.alarm, context);
      if (refused === null)
        accepted.push({ alarm: command.alarm, by: actor.id, timeMs: context.nowMs, waiting: item });
      else await answer(item, context, { done: false, refused });
    }
    return {
      acknowledgements: accepted.map(({ alarm, by, timeMs }) => ({ alarm, by, timeMs })),
      confirm: async (failure) => {
        for (const { waiting: item } of accepted) {
          if (failure === null) await answer(item, context, { done: true, recordId: null });
          else item.answer(notJournalled(failure));
        }
      },
      haveLotsChanged,
    };
  }
}

function refusedAcknowledgement(id: string, context: CommandContext): string | null {
  const alarm = context.alarmOf(id);
  if (alarm !== undefined && NEEDS_ACKNOWLEDGING.has(alarm.state)) return null;
  return faultText('COMMAND_REFUSED', {
    subject: `acknowledge-alarm ${id}`,
    got: alarm?.state ?? 'no such alarm',
    expected: 'an alarm that is unacknowledged',
    remedy: 'nothing was changed; someone else may have acknowledged it',
  });
}

async function answerRecord(item: Waiting, context: CommandContext): Promise<void> {
  const refused = refusedRecord(item.request.command, context);
  if (refused !== null) {
    await answer(item, context, { done: false, refused });
    return;
  }
  const by = { actor: item.request.actor, timeMs: context.nowMs };
  try {
    await answer(item, context, await recorded(item.request.command, context.records, by));
  } catch (error) {
    item.answer(notKept(error));
  }
}

function refusedRecord(command: Command, context: CommandContext): string | null {
  const line = lineOf(command);
  if (line !== null && !context.isLine(line)) return unknownText(command.kind, 'line', line);
  if (command.kind === 'start-lot' && !context.isCrop(command.lot.crop)) {
    return unknownText(command.kind, 'crop', command.lot.crop);
  }
  return null;
}

function lineOf(command: Command): string | null {
  switch (command.kind) {
    case 'start-lot':
      return command.lot.line;
    case 'end-lot':
      return command.line;
    case 'write-mark':
      return command.mark.line;
    case 'record-hand-sample':
      return command.sample.line;
    case 'acknowledge-alarm':
      return null;
  }
}

async function recorded(command: Command, records: RecordStore, by: Authorship): Promise<CommandResult> {
  switch (command.kind) {
    case 'start-lot':
      return { done: true, recordId: (await records.startLot(command.lot, by)).id };
    case 'end-lot': {
      const lot = await records.endLot(command.line, by);
      return lot === null
        ? refusal(`end-lot ${command.line}`, 'no running lot', 'a running lot; nothing was changed')
        : { done: true, recordId: lot.id };
    }
    case 'write-mark':
      return { done: true, recordId: (await records.writeMark(command.mark, by)).id };
    case 'record-hand-sample':
      return { done: true, recordId: (await records.recordHandSample(command.sample, by)).id };
    case 'acknowledge-alarm':
      return { done: true, recordId: null };
  }
}

/** Journals, then answers: whoever hears "done" may rely on it. A store that fails is told to the asker. */
async function answer(item: Waiting, context: CommandContext, result: CommandResult): Promise<void> {
  const { actor, command } = item.request;
  const refused = result.done ? null : result.refused;
  try {
    await context.records.journalCommand(command, { actor, timeMs: context.nowMs }, refused);
    item.answer(result);
  } catch (error) {
    // Nobody may be left waiting because the disk is full; a refusal says more than the disk does.
    item.answer(result.done ? notKept(error) : result);
  }
}

function notKept(error: unknown): CommandResult {
  const got = error instanceof Error ? error.message : String(error);
  return refusal('records', got, 'a record that is kept; mend the disk and try again');
}

/** The alarms already count it; only its entry waits. */
function notJournalled(failure: Error): CommandResult {
  const expected = 'an entry in the journal; it counts now and is entered once the disk takes it';
  return refusal('acknowledge-alarm', failure.message, expected);
}

function unknownText(kind: string, thing: string, got: string): string {
  return faultText('COMMAND_REFUSED', {
    subject: `${kind} ${thing}`,
    got,
    expected: `a ${thing} of the configuration`,
    remedy: 'nothing was changed',
  });
}

function refusal(subject: string, got: string | number, expectedAndRemedy: string): CommandResult {
  const [expected = '', remedy = ''] = expectedAndRemedy.split('; ');
  return { done: false, refused: faultText('COMMAND_REFUSED', { subject, got, expected, remedy }) };
}
