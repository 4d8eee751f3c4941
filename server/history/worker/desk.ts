import type { Engine } from '../engine/engine.ts';
import type { JournalBatch } from '../codec/journal-codec.ts';
import { toCrossing } from './crossing-fault.ts';
import {
  PIECES_AHEAD,
  type Answer,
  type CallMessage,
  type Question,
  type StreamMessage,
} from './messages.ts';

export interface DeskParts {
  readonly engine: Engine;
  readonly post: (answer: Answer, transfer?: readonly ArrayBuffer[]) => void;
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

interface OpenStream {
  readonly id: number;
  readonly pieces: Generator<object | null>;
  credit: number;
}

const ANSWERS_MS = 8;

export function newDesk(parts: DeskParts): Desk {
  const { engine, post, tickMs } = parts;
  const batches: (JournalBatch & { readonly id: number })[] = [];
  const streams: OpenStream[] = [];
  const settling: number[] = [];
  let isScheduled = false;
  let isClosed = false;

  const schedule = (): void => {
    if (isScheduled || isClosed) return;
    isScheduled = true;
    parts.soon(round);
  };
  const attempt = (id: number, work: () => void): void => {
    try {
      work();
    } catch (error) {
      post({ kind: 'failed', id, error: toCrossing(error) });
    }
  };
  const commit = (): void => {
    const taken = batches.splice(0).filter((batch) => isStorable(batch));
    if (taken.length === 0) return;
    try {
      engine.append(taken);
      for (const { id } of taken) post({ kind: 'answer', id, value: null });
    } catch (error) {
      for (const { id } of taken) post({ kind: 'failed', id, error: toCrossing(error) });
    }
  };
  const isStorable = (batch: JournalBatch & { readonly id: number }): boolean => {
    try {
      engine.check(batch);
      return true;
    } catch (error) {
      post({ kind: 'failed', id: batch.id, error: toCrossing(error) });
      return false;
    }
  };
  const answerSome = (): void => {
    const endMs = tickMs() + ANSWERS_MS;
    while (tickMs() < endMs) {
      const stream = streams.find(({ credit }) => credit > 0);
      if (stream === undefined) return;
      // To the back of the row: each reader gets its turn.
      streams.splice(streams.indexOf(stream), 1);
      if (advance(stream)) streams.push(stream);
    }
  };
  /** False when the stream is over. */
  const advance = (stream: OpenStream): boolean => {
    try {
      const { done, value } = stream.pieces.next();
      if (done === true) {
        post({ kind: 'end', id: stream.id });
        return false;
      }
      if (value === null) return true;
      stream.credit--;
      post({ kind: 'piece', id: stream.id, piece: value }, buffersOf(value));
      return true;
    } catch (error) {
      post({ kind: 'failed', id: stream.id, error: toCrossing(error) });
      return false;
    }
  };
  const maintain = (): boolean => {
    const isSettling = settling.length > 0;
    try {
      const isBusy = isSettling ? engine.maintenance.settle() : engine.maintenance.step();
      if (!isBusy) for (const id of settling.splice(0)) post({ kind: 'answer', id, value: null });
      return isBusy;
    } catch (error) {
      engine.maintenance.abandon();
      for (const id of settling.splice(0)) post({ kind: 'failed', id, error: toCrossing(error) });
      return false;
    }
  };
  const round = (): void => {
    isScheduled = false;
    if (isClosed) return;
    if (!engine.maintenance.isOverfull()) commit();
    answerSome();
    const isBusy = maintain();
    if (isBusy || batches.length > 0 || streams.some(({ credit }) => credit > 0)) schedule();
  };
  const idle = (): void => {
    if (isClosed) return;
    schedule();
    parts.later(idle);
  };
  const call = (id: number, message: CallMessage): void => {
    if (message.name === 'settle') {
      settling.push(id);
      schedule();
      return;
    }
    attempt(id, () => post({ kind: 'answer', id, value: answerTo(engine, message) }));
    if (message.name !== 'close') return;
    isClosed = true;
    parts.closed();
  };
  return {
    take(question) {
      if (isClosed) return;
      switch (question.kind) {
        case 'call':
          // A question that comes after a batch sees it.
          commit();
          call(question.id, question.call);
          return;
        case 'append':
          batches.push(question);
          break;
        case 'stream':
          commit();
          attempt(question.id, () => {
            streams.push({
              id: question.id,
              pieces: piecesOf(engine, question.stream),
              credit: PIECES_AHEAD,
            });
          });
          break;
        case 'more':
          for (const stream of streams) if (stream.id === question.id) stream.credit++;
          break;
        case 'cancel':
          remove(streams, question.id);
          break;
      }
      schedule();
    },
    begin: () => idle(),
  };
}

function answerTo(engine: Engine, message: CallMessage): unknown {
  switch (message.name) {
    case 'register':
      return engine.register(message.ask.definitions, message.ask.fromMs);
    case 'rename':
      return engine.rename(message.ask.from, message.ask.to) ?? null;
    case 'catalogue':
      return engine.catalogue();
    case 'lastSequence':
      return engine.lastSequence(message.ask.writer);
    case 'valuesAt':
      return engine.valuesAt(message.ask.series, message.ask.timeMs);
    case 'close':
      return engine.close() ?? null;
    case 'settle':
      return null;
  }
}

function piecesOf(engine: Engine, stream: StreamMessage): Generator<object | null> {
  switch (stream.name) {
    case 'raw':
      return engine.raw(stream.ask);
    case 'thinned':
      return engine.thinned(stream.ask);
    case 'totals':
      return engine.totals(stream.ask);
  }
}

function remove(streams: OpenStream[], id: number): void {
  const at = streams.findIndex((stream) => stream.id === id);
  if (at >= 0) streams.splice(at, 1);
}

/** Buffers that go to the reader instead of being copied. */
function buffersOf(piece: object): readonly ArrayBuffer[] {
  const views = Object.values(piece).filter((value) => ArrayBuffer.isView(value));
  return [...new Set(views.map((view) => view.buffer))].filter((buffer) => buffer instanceof ArrayBuffer);
}
