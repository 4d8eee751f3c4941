import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { RunJob, RunResult } from './play-run.ts';

interface Answer {
  readonly id: number;
  readonly result: RunResult;
}

/** More threads than this gain nothing that a measurement on a desk could show. */
const THREADS_MAX = 4;

/** Plays all runs, as many at a time as there are cores; results in the order of the jobs. */
export async function playRuns(jobs: readonly RunJob[]): Promise<readonly RunResult[]> {
  const results = new Map<number, RunResult>();
  const waiting = jobs.map((job, id) => ({ id, job }));
  const threads = Math.min(availableParallelism(), THREADS_MAX, jobs.length);
  await Promise.all(Array.from({ length: threads }, () => workedOff(waiting, results)));
  return jobs.flatMap((_, id) => results.get(id) ?? []);
}

function workedOff(
  waiting: { readonly id: number; readonly job: RunJob }[],
  results: Map<number, RunResult>,
): Promise<void> {
  const worker = new Worker(new URL('run-worker.ts', import.meta.url));
  return new Promise<void>((resolve, reject) => {
    const giveNext = () => {
      const next = waiting.shift();
      if (next === undefined) resolve();
      else worker.postMessage(next);
    };
    worker.on('message', ({ id, result }: Answer) => {
      results.set(id, result);
      giveNext();
    });
    worker.on('error', reject);
    giveNext();
  }).finally(() => void worker.terminate());
}
