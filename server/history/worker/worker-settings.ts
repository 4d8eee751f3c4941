import type { Retention } from '../engine/retention.ts';

/** What the worker needs to know at its start; crosses the thread boundary, so it is plain data. */
export interface WorkerSettings {
  readonly folder: string;
  /** Beside a running server: answers questions, writes nothing, does not see what is appended later. */
  readonly isReadOnly: boolean;
  readonly retention: Retention;
}
