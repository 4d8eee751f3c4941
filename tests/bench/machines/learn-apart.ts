import { monitorEventLoopDelay } from 'node:perf_hooks';
import { Worker } from 'node:worker_threads';

export interface AskedLearning {
  readonly seed: number;
  readonly days: number;
  readonly machines: number;
}

export interface Learning extends AskedLearning {
  readonly seconds: number;
  /** The longest that this side had to wait for its turn while the thread learnt. */
  readonly waitedMsMax: number;
}

const NS_PER_MS = 1e6;
const RESOLUTION_MS = 5;

/** Learning a month of many machines, from points that are in memory, in a thread of its own. */
export function learnApart(asked: AskedLearning): Promise<Learning> {
  const worker = new Worker(new URL('./learning-worker.ts', import.meta.url), { workerData: asked });
  const delay = monitorEventLoopDelay({ resolution: RESOLUTION_MS });
  return new Promise((resolve, reject) => {
    worker.on('error', reject);
    worker.on('message', (said: 'learning' | number) => {
      if (said === 'learning') {
        delay.enable();
        return;
      }
      delay.disable();
      resolve({ ...asked, seconds: said, waitedMsMax: delay.max / NS_PER_MS - RESOLUTION_MS });
    });
  });
}
