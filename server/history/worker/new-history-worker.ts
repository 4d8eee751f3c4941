import { Worker } from 'node:worker_threads';
import type { WorkerSettings } from './worker-settings.ts';

/** A thread that opens the history file and answers for it; `openLine` is the caller's end of the line to it. */
export function newHistoryWorker(settings: WorkerSettings): Worker {
  return new Worker(new URL('./history-worker.ts', import.meta.url), {
    workerData: settings,
    // Columns live outside of the heap; a small nursery keeps what is inside of it small.
    resourceLimits: { maxYoungGenerationSizeMb: 16 },
  });
}
