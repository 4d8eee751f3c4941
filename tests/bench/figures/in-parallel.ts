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

/** The thread's next word. Only our own listeners are taken off again: the thread has others of its own. */
function answered(thread: Worker, job: Job): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const settled = () => {
      thread.off('message', onMessage).off('error', onError).off('exit', onExit);
    };
    const onMessage = (answer: Answer) => {
      settled();
      resolve(answer);
    };
    const onError = (cause: unknown) => {
      settled();
      reject(cause instanceof Error ? cause : new Error(String(cause)));
    };
    const onExit = (code: number) =>
      onError(new Error(`a thread ended with ${code} at ${JSON.stringify(job)}`));
    thread.on('message', onMessage).on('error', onError).on('exit', onExit);
    thread.postMessage(job);
  });
}
