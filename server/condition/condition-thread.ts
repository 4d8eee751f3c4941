import { Worker } from 'node:worker_threads';
import type { Answered, CallName, ConditionCalls, ConditionSetup } from './condition-calls.ts';

/** The caller's end of the thread that learns and judges. */
export interface ConditionThread {
  call<Name extends CallName>(
    name: Name,
    ask: ConditionCalls[Name]['ask'],
  ): Promise<ConditionCalls[Name]['answer']>;
  close(): Promise<void>;
}

interface Waiting {
  readonly resolve: (answer: never) => void;
  readonly reject: (error: Error) => void;
}

export function conditionThread(setup: ConditionSetup): ConditionThread {
  const worker = new Worker(new URL('./condition-worker.ts', import.meta.url), { workerData: setup });
  const waiting = new Map<number, Waiting>();
  let lastId = 0;
  let ended: Error | null = null;

  const end = (error: Error): void => {
    ended = error;
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  };
  worker.on('message', (message: Answered) => {
    const asker = waiting.get(message.id);
    waiting.delete(message.id);
    if ('failed' in message) asker?.reject(new Error(message.failed));
    else asker?.resolve(message.answer as never);
  });
  worker.on('error', (error) => end(error instanceof Error ? error : new Error(String(error))));
  worker.on('exit', () => end(new Error('the thread that judges machines has ended')));

  return {
    call(name, ask) {
      return new Promise((resolve, reject) => {
        if (ended !== null) {
          reject(ended);
          return;
        }
        lastId += 1;
        waiting.set(lastId, { resolve, reject });
        worker.postMessage({ id: lastId, name, ask });
      });
    },
    async close() {
      await worker.terminate();
    },
  };
}
