import type { Worker } from 'node:worker_threads';
import type { JournalBatch } from '../codec/journal-codec.ts';
import type { Report } from '../engine/reports.ts';
import { PACKED_BYTES } from '../packed-batch.ts';
import { StoreFault } from '../store-fault.ts';
import { fromCrossing } from './crossing-fault.ts';
import type { Answer, CallMessage, Calls, Question, StreamMessage, Streams } from './messages.ts';
import { newPieceQueue } from './piece-queue.ts';
import { newSwitchboard, type Switchboard } from './switchboard.ts';

/** The caller's end of the line to the worker. */
export interface Line {
  call<Name extends keyof Calls>(name: Name, ask: Calls[Name]['ask']): Promise<Calls[Name]['answer']>;
  append(batch: JournalBatch): Promise<void>;
  stream<Name extends keyof Streams>(
    name: Name,
    ask: Streams[Name]['ask'],
    signal: AbortSignal,
  ): AsyncGenerator<Streams[Name]['piece']>;
  close(): Promise<void>;
}

/** As long as its worker lives. */
export interface WorkerLine extends Line {
  /** Resolves with the reason when the worker has ended, asked or not. */
  readonly ended: Promise<string>;
}

/** 44 MB on the way to the worker; more is refused, and may be sent again. */
const MOST_SAMPLES_UNDER_WAY = 2_000_000;

/** Resolves when the worker has opened the file. */
export async function openLine(worker: Worker, report: Report): Promise<WorkerLine> {
  const board = newSwitchboard();
  const ended = new Promise<string>((resolve) => {
    worker.once('error', (error) => resolve(String(error)));
    worker.once('exit', (code) => resolve(`it ended with code ${code}`));
  });
  const opened = new Promise<void>((resolve, reject) => {
    const endAll = (error: Error): void => {
      board.endAll(error);
      reject(error);
    };
    worker.on('message', (answer: Answer) => {
      if (answer.kind === 'ready') resolve();
      else if (answer.kind === 'refused') endAll(fromCrossing(answer.error));
      else if (answer.kind === 'report') report(answer.report);
      else board.take(answer);
    });
    void ended.then((why) => endAll(threadEnded(why, 'what was under way may be sent again')));
  });
  await opened;
  return lineOn(worker, board, ended);
}

function lineOn(worker: Worker, board: Switchboard, ended: Promise<string>): WorkerLine {
  const post = (question: Question, transfer: readonly ArrayBuffer[] = []): void => {
    worker.postMessage(question, transfer);
  };
  // The worker's answers have the type that `Calls` and `Streams` say: both ends are made from them.
  const call = async <Name extends keyof Calls>(
    name: Name,
    ask: Calls[Name]['ask'],
  ): Promise<Calls[Name]['answer']> =>
    board.ask((id) => post({ kind: 'call', id, call: { name, ask } as CallMessage })) as Promise<
      Calls[Name]['answer']
    >;
  return {
    call,
    append: boundedAppend(board, post),
    async *stream(name, ask, signal) {
      signal.throwIfAborted();
      const end = board.end();
      if (end !== null) throw end;
      const queue = newPieceQueue();
      const { id, close } = board.open(queue);
      const abort = (): void => queue.fail(signal.reason);
      signal.addEventListener('abort', abort, { once: true });
      try {
        post({ kind: 'stream', id, stream: { name, ask } as StreamMessage });
        for (let piece = await queue.next(); piece !== null; piece = await queue.next()) {
          post({ kind: 'more', id });
          yield piece as Streams[typeof name]['piece'];
        }
      } finally {
        signal.removeEventListener('abort', abort);
        close();
        post({ kind: 'cancel', id });
      }
    },
    async close() {
      if (board.end() === null) await call('close', null);
      await ended;
    },
    ended,
  };
}

type Post = (question: Question, transfer?: readonly ArrayBuffer[]) => void;

function boundedAppend(board: Switchboard, post: Post): Line['append'] {
  let samplesUnderWay = 0;
  return async (batch) => {
    const count = batch.packed.byteLength / PACKED_BYTES;
    if (samplesUnderWay > 0 && samplesUnderWay + count > MOST_SAMPLES_UNDER_WAY)
      throw tooMany(samplesUnderWay);
    samplesUnderWay += count;
    try {
      await board.ask((id) => post({ kind: 'append', id, ...batch }, [batch.packed]));
    } finally {
      samplesUnderWay -= count;
    }
  };
}

export function threadEnded(got: string, remedy: string): StoreFault {
  const expected = 'a running thread';
  return new StoreFault('HISTORY_UNWRITABLE', { subject: 'history thread', got, expected, remedy });
}

function tooMany(got: number): StoreFault {
  return new StoreFault('HISTORY_UNWRITABLE', {
    subject: 'samples under way to the history',
    got,
    expected: `at most ${MOST_SAMPLES_UNDER_WAY} with this batch`,
    remedy: 'nothing of the batch was kept; send it again',
  });
}
