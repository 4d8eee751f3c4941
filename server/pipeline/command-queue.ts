import type { AlarmOrder } from '../alarms/alarm-order.ts';
import { restartOfCommand } from '../alarms/chart-restarts.ts';
import type { ChartRestart } from '../alarms/step-alarms.ts';
import { rolesFor } from '../contract/command-rights.ts';
import type { Command, CommandRequest, CommandResult } from '../contract/commands.ts';
import { faultText } from '../contract/faults.ts';
import type { CommandDesk } from '../ports/command-desk.ts';
import type { Authorship, RecordStore } from '../ports/record-store.ts';
import { ordersOfCommand, type AlarmsAtHand } from './alarm-orders.ts';

/** More than people can ask in a tick; beyond it the asker is told to try again. */
const WAITING_COUNT_MAX = 1000;

interface Waiting {
  readonly request: CommandRequest;
  readonly answer: (result: CommandResult) => void;
}

export interface CommandContext extends AlarmsAtHand {
  readonly records: RecordStore;
  readonly nowMs: number;
  readonly isLine: (id: string) => boolean;
  readonly isCrop: (id: string) => boolean;
}

/** What a tick does about the commands that waited for it. */
export interface CommandWork {
  readonly orders: readonly AlarmOrder[];
  /** Lot and setting changes, after which charts begin to learn anew. */
  readonly restarts: readonly ChartRestart[];
  /** Answers what was asked of the alarms: null once what followed from it is durable, or why it is not. */
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

  /** Carries out what waits; what is about alarms is handed to them and answered by `confirm`. */
  async work(context: CommandContext): Promise<CommandWork> {
    const waiting = this.#waiting;
    this.#waiting = [];
    const ordering: Waiting[] = [];
    const orders: AlarmOrder[] = [];
    const restarts: ChartRestart[] = [];
    let haveLotsChanged = false;
    for (const item of waiting) {
      const { command, actor } = item.request;
      const refused = forbiddenText(item.request);
      const asked = refused === null ? ordersOfCommand(command, actor, context) : { refused };
      if (asked === null) {
        haveLotsChanged ||= command.kind === 'start-lot' || command.kind === 'end-lot';
        const isDone = await answerRecord(item, context);
        if (isDone) restarts.push(...restartOfCommand(command, context.plantNowMs));
      } else if ('refused' in asked) {
        await answer(item, context, { done: false, refused: asked.refused });
      } else {
        orders.push(...asked.orders);
        ordering.push(item);
      }
    }
    return {
      orders,
      restarts,
      confirm: async (failure) => {
        for (const item of ordering) {
          if (failure === null) await answer(item, context, { done: true, recordId: null });
          else item.answer(notJournalled(item.request.command, failure));
        }
      },
      haveLotsChanged,
    };
  }
}

function forbiddenText({ actor, command }: CommandRequest): string | null {
  const roles = rolesFor(command.kind);
  if (roles.includes(actor.role)) return null;
  return faultText('COMMAND_FORBIDDEN', {
    subject: `${command.kind} role`,
    got: actor.role,
    expected: `one of ${roles.join(', ')}`,
    remedy: 'nothing was changed; ask one of them',
  });
}

/** Whether the record was kept. */
async function answerRecord(item: Waiting, context: CommandContext): Promise<boolean> {
  const refused = refusedRecord(item.request.command, context);
  if (refused !== null) {
    await answer(item, context, { done: false, refused });
    return false;
  }
  const by = { actor: item.request.actor, timeMs: context.nowMs };
  try {
    const result = await recorded(item.request.command, context.records, by);
    await answer(item, context, result);
    return result.done;
  } catch (error) {
    item.answer(notKept(error));
    return false;
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
    default:
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
    default:
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
function notJournalled({ kind }: Command, failure: Error): CommandResult {
  const expected = 'an entry in the journal; it counts now and is entered once the disk takes it';
  return refusal(kind, failure.message, expected);
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
