import { Worker } from 'node:worker_threads';
import { availableParallelism } from 'node:os';
import type { Answer, Job } from './jobs.ts';

const THREADS = Math.min(2, availableParallelism());

/** Answers to all jobs, worked at by as many threads as there are cores, two at most. */
export async function inParallel(jobs: readonly Job[]): Promise<readonly Answer[]> {
  const waiting = [...jobs];
  const answers: Answer[] = [];
  const work = async () => {
    const thread = new Worker(new URL('worker.ts', import.meta.url));
    try {
      for (let job = waiting.shift(); job !== undefined; job = waiting.shift()) {
        answers.push(await answered(thread, job));
      }
    } finally {
      await thread.terminate();
    }
  };
  await Promise.all(Array.from({ length: THREADS }, work));
  return answers;
}

function answered(thread: Worker, job: Job): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const settle = (act: () => void) => {
      thread.removeAllListeners();
      act();
    };
    thread.once('message', (answer: Answer) => settle(() => resolve(answer)));
    thread.once('error', (cause) =>
      settle(() => reject(cause instanceof Error ? cause : new Error(String(cause)))),
    );
    thread.postMessage(job);
  });
}
