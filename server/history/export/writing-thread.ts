import { once } from 'node:events';
import { Worker } from 'node:worker_threads';
import type { ExportFormat } from '../../contract/export-format.ts';
import type { ExportedSeries, ExportPiece } from './piece-writer.ts';

export interface WritingOrder {
  readonly format: ExportFormat;
  readonly series: readonly ExportedSeries[];
}

/**
 * Makes text or Parquet in a thread of its own: 65,000 samples take it a tenth of a second, for which neither the
 * tick nor the browsers should wait.
 */
export interface WritingThread {
  /** The bytes that a piece adds, or with null the end of the file. One at a time; the piece is handed over. */
  write(piece: ExportPiece | null): Promise<Uint8Array>;
  end(): Promise<void>;
}

export function startWritingThread(order: WritingOrder): WritingThread {
  const worker = new Worker(new URL('./export-worker.ts', import.meta.url), { workerData: order });
  return {
    async write(piece) {
      const answered = once(worker, 'message');
      worker.postMessage(piece, piece === null ? [] : buffersOf(piece));
      const [bytes] = (await answered) as [Uint8Array];
      return bytes;
    },
    async end() {
      await worker.terminate();
    },
  };
}

function buffersOf({ columns }: ExportPiece): ArrayBuffer[] {
  return Object.values(columns)
    .map(({ buffer }) => buffer)
    .filter((buffer) => buffer instanceof ArrayBuffer);
}
