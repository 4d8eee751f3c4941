import type { SampleStore } from '../ports/sample-store.ts';
import { packedBatch } from './packed-batch.ts';
import { KEEP_ALL, type Retention } from './engine/retention.ts';
import type { Report } from './engine/reports.ts';
import { lastingLine } from './worker/lasting-line.ts';
import { openLine, type Line } from './worker/line.ts';
import { newHistoryWorker } from './worker/new-history-worker.ts';
import type { WorkerSettings } from './worker/worker-settings.ts';

export interface SampleStoreOptions {
  /** Made when it is not there. One process at a time may own it. */
  readonly folder: string;
  /** Beside the running server: answers from what is there at this moment and writes nothing. */
  readonly isReadOnly?: boolean;
  /** How long what is kept; left out, all is. */
  readonly retention?: Retention;
  /** Told what no caller waits for: damage found, samples left out. */
  readonly report?: Report;
}

/** A sample store with what its owner may ask beyond the port. */
export interface HistoryStore extends SampleStore {
  /** Seals, merges and rolls up all there is, now; resolves when it is done. */
  settle(): Promise<void>;
}

/** Opens the history in a thread of its own; rejects with a fault that says what is wrong with the folder. */
export async function openSampleStore(options: SampleStoreOptions): Promise<HistoryStore> {
  const settings: WorkerSettings = {
    folder: options.folder,
    isReadOnly: options.isReadOnly ?? false,
    retention: options.retention ?? KEEP_ALL,
  };
  const report = options.report ?? ((): void => undefined);
  return storeOn(await lastingLine(() => openLine(newHistoryWorker(settings), report), report));
}

function storeOn(line: Line): HistoryStore {
  return {
    register: (definitions, fromMs) => line.call('register', { definitions, fromMs }),
    rename: (from, to) => line.call('rename', { from, to }),
    catalogue: () => line.call('catalogue', null),
    append: ({ writer, sequence, ...columns }) =>
      line.append({ writer, sequence, packed: packedBatch(columns) }),
    lastSequence: (writer) => line.call('lastSequence', { writer }),
    raw: (request, signal) => line.stream('raw', request, signal),
    thinned: (request, signal) => line.stream('thinned', request, signal),
    valuesAt: (series, timeMs) => line.call('valuesAt', { series, timeMs }),
    totals: (request, signal) => collected(line.stream('totals', request, signal)),
    settle: () => line.call('settle', null),
    close: () => line.close(),
  };
}

async function collected<T>(pieces: AsyncIterable<T>): Promise<readonly T[]> {
  const all: T[] = [];
  for await (const piece of pieces) all.push(piece);
  return all;
}
