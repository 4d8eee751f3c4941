import { SLICE_MS } from './chore.ts';
import type { Reach } from './crash-point.ts';
import type { SqliteFile } from './sqlite-file.ts';

export interface SliceParts {
  readonly file: SqliteFile;
  readonly tickMs: () => number;
  readonly reach: Reach;
}

/** Merging in transactions of about one slice each; yields after each. */
export function* inSlices({ file, tickMs, reach }: SliceParts, work: Generator<void>): Generator<void> {
  for (let isDone = false; !isDone;) {
    const endMs = tickMs() + SLICE_MS;
    isDone = file.transact(() => {
      const done = workedUntil(work, () => tickMs() >= endMs);
      reach('chunks-merged');
      return done;
    });
    reach('merge-durable');
    yield;
  }
}

/** True when the work is complete. */
function workedUntil(work: Generator<void>, isTimeUp: () => boolean): boolean {
  while (!isTimeUp()) if (work.next().done === true) return true;
  return false;
}
