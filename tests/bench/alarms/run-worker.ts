/** Plays runs in a thread of its own: as many threads as cores halve the time of the measurement. */
import { parentPort } from 'node:worker_threads';
import { playRun, type RunJob } from './play-run.ts';
import { demoConfig } from './watched-plant.ts';

const config = await demoConfig();
parentPort?.on('message', ({ id, job }: { readonly id: number; readonly job: RunJob }) => {
  parentPort?.postMessage({ id, result: playRun(config, job) });
});
