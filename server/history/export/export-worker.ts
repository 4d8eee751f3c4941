import { parentPort, workerData } from 'node:worker_threads';
import { newCsvWriter } from './csv-writer.ts';
import { newParquetWriter } from './parquet-writer.ts';
import type { ExportPiece } from './piece-writer.ts';
import type { WritingOrder } from './writing-thread.ts';

/** The thread's own end: one answer to each piece, in order. What throws here ends the thread, and its caller is told. */
function serve({ format, series }: WritingOrder): void {
  const port = parentPort;
  if (port === null) throw new Error('This file is run as a thread.');
  const writer = format === 'csv' ? newCsvWriter(series) : newParquetWriter(series);
  port.on('message', (piece: ExportPiece | null) => {
    void (piece === null ? writer.finish() : writer.add(piece)).then((bytes) => {
      port.postMessage(bytes, [bytes.buffer]);
    });
  });
}

serve(workerData as WritingOrder);
