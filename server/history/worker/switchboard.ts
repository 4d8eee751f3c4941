import type { Answer, CrossingFault } from './messages.ts';
import { fromCrossing } from './crossing-fault.ts';
import type { PieceQueue } from './piece-queue.ts';

/** Who waits for which answer of the worker. */
export interface Switchboard {
  /** Sends a question and waits for its one answer. */
  ask(send: (id: number) => void): Promise<unknown>;
  /** Opens a stream's number; `close` when its reader has gone. */
  open(queue: PieceQueue): { readonly id: number; readonly close: () => void };
  take(answer: Answer): void;
  /** Everybody who waits, now or later, is told this. */
  endAll(error: Error): void;
  /** Why no question can be asked any more, or null. */
  end(): Error | null;
}

interface Waiting {
  readonly resolve: (value: unknown) => void;
  readonly reject: (error: unknown) => void;
}

export function newSwitchboard(): Switchboard {
  const waiting = new Map<number, Waiting>();
  const queues = new Map<number, PieceQueue>();
  let lastId = 0;
  let end: Error | null = null;

  function settle(id: number, how: (who: Waiting) => void): void {
    const who = waiting.get(id);
    waiting.delete(id);
    if (who !== undefined) how(who);
  }

  function fail(id: number, error: CrossingFault): void {
    settle(id, ({ reject }) => reject(fromCrossing(error)));
    queues.get(id)?.fail(fromCrossing(error));
  }

  return {
    ask(send) {
      if (end !== null) return Promise.reject(end);
      const id = ++lastId;
      return new Promise((resolve, reject) => {
        waiting.set(id, { resolve, reject });
        send(id);
      });
    },
    open(queue) {
      const id = ++lastId;
      queues.set(id, queue);
      return { id, close: () => void queues.delete(id) };
    },
    take(answer) {
      if (answer.kind === 'answer') settle(answer.id, ({ resolve }) => resolve(answer.value));
      else if (answer.kind === 'failed') fail(answer.id, answer.error);
      else if (answer.kind === 'piece') queues.get(answer.id)?.add(answer.piece);
      else if (answer.kind === 'end') queues.get(answer.id)?.end();
    },
    endAll(error) {
      end ??= error;
      for (const { reject } of waiting.values()) reject(end);
      for (const queue of queues.values()) queue.fail(end);
      waiting.clear();
      queues.clear();
    },
    end: () => end,
  };
}
