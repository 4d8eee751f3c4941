import type { Worker } from 'node:worker_threads';
import type { JournalBatch } from '../codec/journal-codec.ts';
import type { Report } from '../engine/reports.ts';
import { PACKED_BYTES } from '../packed-batch.ts';
import { StoreFault } from '../store-fault.ts';
import { fromCrossing } from './crossing-fault.ts';
import type { Answer, CallMessage, Calls, Question, StreamMessage, Streams } from './messages.ts';
import { newPieceQueue, type PieceQueue } from './piece-queue.ts';

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

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: unknown) => void;
}

/** 44 MB on the way to the worker; more is refused, and may be sent again. */
const MOST_SAMPLES_UNDER_WAY = 2_000_000;

/** Resolves when the worker has opened the file. */
export async function openLine(worker: Worker, report: Report): Promise<Line> {
  const waiting = new Map<number, Waiting>();
  const queues = new Map<number, PieceQueue<unknown>>();
  const opening = Promise.withResolvers<void>();
  const exited = new Promise<void>((resolve) => worker.once('exit', () => resolve()));
  let lastId = 0;
  let samplesUnderWay = 0;
  let end: Error | null = null;

  const endAll = (error: Error): void => {
    end ??= error;
    opening.reject(end);
    for (const { reject } of waiting.values()) reject(end);
    for (const queue of queues.values()) queue.fail(end);
    waiting.clear();
    queues.clear();
  };
  worker.on('message', (answer: Answer) => {
    switch (answer.kind) {
      case 'ready':
        return opening.resolve();
      case 'refused':
        return endAll(fromCrossing(answer.error));
      case 'report':
        return report(answer.report);
      case 'answer':
        waiting.get(answer.id)?.resolve(answer.value);
        return void waiting.delete(answer.id);
      case 'piece':
        return queues.get(answer.id)?.add(answer.piece);
      case 'end':
        return queues.get(answer.id)?.end();
      case 'failed':
        waiting.get(answer.id)?.reject(fromCrossing(answer.error));
        waiting.delete(answer.id);
        return queues.get(answer.id)?.fail(fromCrossing(answer.error));
    }
  });
  worker.on('error', (error) => endAll(stopped(String(error))));
  worker.on('exit', () => endAll(stopped('the history thread has ended')));
  const post = (question: Question, transfer: readonly ArrayBuffer[] = []): void => {
    worker.postMessage(question, transfer);
  };
  const answered = <T>(id: number, send: () => void): Promise<T> => {
    if (end !== null) return Promise.reject(end);
    return new Promise<T>((resolve, reject) => {
      // The worker's answers have the type that `Calls` says: both ends are made from it.
      waiting.set(id, { resolve: (value) => resolve(value as T), reject });
      send();
    });
  };
  const line: Line = {
    call(name, ask) {
      const id = ++lastId;
      return answered(id, () => post({ kind: 'call', id, call: { name, ask } as CallMessage }));
    },
    async append(batch) {
      const count = batch.packed.byteLength / PACKED_BYTES;
      if (samplesUnderWay > 0 && samplesUnderWay + count > MOST_SAMPLES_UNDER_WAY)
        throw tooMany(samplesUnderWay);
      const id = ++lastId;
      samplesUnderWay += count;
      try {
        await answered(id, () => post({ kind: 'append', id, ...batch }, [batch.packed]));
      } finally {
        samplesUnderWay -= count;
      }
    },
    async *stream(name, ask, signal) {
      signal.throwIfAborted();
      if (end !== null) throw end;
      const id = ++lastId;
      const queue = newPieceQueue<Streams[typeof name]['piece']>();
      const abort = (): void => queue.fail(signal.reason);
      queues.set(id, queue as PieceQueue<unknown>);
      signal.addEventListener('abort', abort, { once: true });
      try {
        post({ kind: 'stream', id, stream: { name, ask } as StreamMessage });
        for (let piece = await queue.next(); piece !== null; piece = await queue.next()) {
          post({ kind: 'more', id });
          yield piece;
        }
      } finally {
        signal.removeEventListener('abort', abort);
        queues.delete(id);
        post({ kind: 'cancel', id });
      }
    },
    async close() {
      if (end !== null) return;
      await line.call('close', null);
      await exited;
    },
  };
  await opening.promise;
  return line;
}

function stopped(got: string): StoreFault {
  const expected = 'a running history thread';
  return new StoreFault('HISTORY_UNWRITABLE', {
    subject: 'history',
    got,
    expected,
    remedy: 'open the store again',
  });
}

function tooMany(got: number): StoreFault {
  return new StoreFault('HISTORY_UNWRITABLE', {
    subject: 'samples under way to the history',
    got,
    expected: `at most ${MOST_SAMPLES_UNDER_WAY} with this batch`,
    remedy: 'nothing of the batch was kept; send it again',
  });
}
