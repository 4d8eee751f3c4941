import type { JournalBatch } from '../codec/journal-codec.ts';
import type { Engine } from '../engine/engine.ts';
import type { Maintenance } from '../engine/maintenance.ts';
import { newAnswerStreams, type Post } from './answer-streams.ts';
import { toCrossing } from './crossing-fault.ts';
import type { CallMessage, Question } from './messages.ts';

export interface DeskParts {
  readonly engine: Engine;
  readonly post: Post;
  readonly soon: (work: () => void) => void;
  readonly later: (work: () => void) => void;
  readonly tickMs: () => number;
  readonly closed: () => void;
}

/**
 * Shares the worker's one thread among those who want something of it. Each round: all waiting batches in one
 * commit, some milliseconds of answers in turn, one slice of maintenance. So a commit never waits for more than
 * one slice, and a long answer never keeps another from its turn.
 */
export interface Desk {
  take(question: Question): void;
  begin(): void;
}

const ANSWERS_MS = 8;

export function newDesk(parts: DeskParts): Desk {
  const { engine, post, tickMs } = parts;
  const inbox = newInbox(engine, post);
  const chores = newChores(engine.maintenance, post);
  const streams = newAnswerStreams(engine, post, tickMs);
  let isScheduled = false;
  let isClosed = false;

  const schedule = (): void => {
    if (isScheduled || isClosed) return;
    isScheduled = true;
    parts.soon(round);
  };
  const round = (): void => {
    isScheduled = false;
    if (isClosed) return;
    inbox.commit();
    const hasAnswers = streams.work(tickMs() + ANSWERS_MS);
    const hasChores = chores.work();
    if (hasChores || hasAnswers || inbox.isWaiting()) schedule();
  };
  const idle = (): void => {
    schedule();
    if (!isClosed) parts.later(idle);
  };
  /** What was sent before it is committed first, so that a question sees it. */
  const call = (id: number, message: CallMessage): void => {
    inbox.commit();
    if (message.name === 'settle') return chores.settle(id);
    attempt(post, id, () => post({ kind: 'answer', id, value: answerTo(engine, message) }));
    if (message.name !== 'close') return;
    isClosed = true;
    parts.closed();
  };
  return {
    take(question) {
      if (isClosed) return;
      if (question.kind === 'call') call(question.id, question.call);
      else if (question.kind === 'append') inbox.add(question);
      else if (question.kind === 'more') streams.more(question.id);
      else if (question.kind === 'cancel') streams.close(question.id);
      else {
        inbox.commit();
        streams.open(question.id, question.stream);
      }
      schedule();
    },
    begin: idle,
  };
}

function attempt(post: Post, id: number, work: () => void): boolean {
  try {
    work();
    return true;
  } catch (error) {
    post({ kind: 'failed', id, error: toCrossing(error) });
    return false;
  }
}

interface Inbox {
  add(batch: NumberedBatch): void;
  isWaiting(): boolean;
  /** Everything that waits in one transaction, unless memory must be freed first. */
  commit(): void;
}

type NumberedBatch = JournalBatch & { readonly id: number };

/** Its length is bounded by the samples that the caller's end lets be under way. */
function newInbox(engine: Engine, post: Post): Inbox {
  const batches: NumberedBatch[] = [];
  return {
    add: (batch) => void batches.push(batch),
    isWaiting: () => batches.length > 0,
    commit() {
      if (batches.length === 0 || engine.maintenance.isOverfull()) return;
      const taken = batches.splice(0).filter((batch) => attempt(post, batch.id, () => engine.check(batch)));
      try {
        engine.append(taken);
        for (const { id } of taken) post({ kind: 'answer', id, value: undefined });
      } catch (error) {
        for (const { id } of taken) post({ kind: 'failed', id, error: toCrossing(error) });
      }
    },
  };
}

interface Chores {
  settle(id: number): void;
  /** One slice; true when there is more to do. */
  work(): boolean;
}

function newChores(maintenance: Maintenance, post: Post): Chores {
  const settling: number[] = [];
  return {
    settle: (id) => void settling.push(id),
    work() {
      try {
        const isBusy = settling.length > 0 ? maintenance.settle() : maintenance.step();
        if (!isBusy) for (const id of settling.splice(0)) post({ kind: 'answer', id, value: undefined });
        return isBusy;
      } catch (error) {
        maintenance.abandon(error);
        for (const id of settling.splice(0)) post({ kind: 'failed', id, error: toCrossing(error) });
        return false;
      }
    },
  };
}

function answerTo(engine: Engine, message: Exclude<CallMessage, { readonly name: 'settle' }>): unknown {
  switch (message.name) {
    case 'register':
      return engine.register(message.ask.definitions, message.ask.fromMs);
    case 'rename':
      engine.rename(message.ask.from, message.ask.to);
      return undefined;
    case 'catalogue':
      return engine.catalogue();
    case 'lastSequence':
      return engine.lastSequence(message.ask.writer);
    case 'valuesAt':
      return engine.valuesAt(message.ask.series, message.ask.timeMs);
    case 'close':
      engine.close();
      return undefined;
  }
}
