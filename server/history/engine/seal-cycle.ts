import type { SeriesId } from '../../ports/sample-store.ts';
import { inTimeOrder, picked, type Samples } from '../samples.ts';
import { blockStart, minuteOf, SEALING_LEVEL, spanOf } from './blocks.ts';
import { SLICE_MS } from './chore.ts';
import type { ChunkTable } from './chunk-table.ts';
import type { Reach } from './crash-point.ts';
import type { Journal } from './journal.ts';
import type { Pending } from './pending.ts';
import { sealedBlocks } from './sealing.ts';
import type { SqliteFile } from './sqlite-file.ts';

export interface SealCycleParts {
  readonly file: SqliteFile;
  readonly chunks: ChunkTable;
  readonly pending: Pending;
  readonly journal: Journal;
  readonly reach: Reach;
  /** Monotonic, for the length of a slice. */
  readonly tickMs: () => number;
}

/**
 * Moves samples from memory and journal into chunks, a slice of work at a time:
 *
 *     idle --begin--> slice (one transaction of about SLICE_MS) --> slice --> ... --> trim journal --> idle
 *
 * A power cut between any two of these loses nothing: journal rows go only after all of their samples are in
 * durable chunks, and sealing a sample twice changes nothing.
 *
 * Of each series the samples in its newest block, ten minutes that are still filling, are held back once, so that
 * the block is written once and not with every cycle. The next cycle seals them in any case; so what had arrived
 * when the cycle before began is sealed for certain, and exactly these journal rows are trimmed.
 */
export interface SealCycle {
  isRunning(): boolean;
  /** `holdsBack` false seals everything: when memory must be freed. */
  begin(holdsBack: boolean): void;
  /** Works for one slice; false when the cycle is complete. */
  slice(): boolean;
  /** After a failed write: what was not durable is sealed again by the next cycle. */
  abandon(): void;
}

export function newSealCycle(parts: SealCycleParts): SealCycle {
  const { file, chunks, pending, journal, reach, tickMs } = parts;
  let work: Generator<Finished | null> | null = null;
  let newestAtBegin = 0;
  /** Rows up to here were there when the cycle before this one began. */
  let trimUpTo = 0;
  const finishedSeries: Finished[] = [];
  return {
    isRunning: () => work !== null,
    begin(holdsBack) {
      trimUpTo = holdsBack ? newestAtBegin : journal.newest();
      newestAtBegin = journal.newest();
      work = sealedSeries(chunks, pending, holdsBack);
    },
    slice() {
      if (work === null) return false;
      const current = work;
      const isDone = file.transact(() => {
        const done = workUntil(current, tickMs, finishedSeries);
        reach('block-written');
        return done;
      });
      reach('slice-durable');
      for (const { series, count, kept } of finishedSeries.splice(0)) pending.drop(series, count, kept);
      if (!isDone) return true;
      trim(file, journal, { upTo: trimUpTo, reach });
      work = null;
      return false;
    },
    abandon() {
      work = null;
      finishedSeries.length = 0;
      // The rows of the abandoned cycle must outlive the next one as well.
      newestAtBegin = 0;
    },
  };
}

interface Finished {
  readonly series: SeriesId;
  readonly count: number;
  readonly kept: Uint32Array;
}

function workUntil(work: Generator<Finished | null>, tickMs: () => number, finished: Finished[]): boolean {
  const endMs = tickMs() + SLICE_MS;
  do {
    const next = work.next();
    if (next.done === true) return true;
    if (next.value !== null) finished.push(next.value);
  } while (tickMs() < endMs);
  return false;
}

function trim(file: SqliteFile, journal: Journal, { upTo, reach }: { upTo: number; reach: Reach }): void {
  file.transact(() => {
    journal.deleteUpTo(upTo);
    reach('journal-trimmed');
  });
  reach('trim-durable');
}

/** Yields after each block, and for each series what may be forgotten once the slice is durable. */
function* sealedSeries(chunks: ChunkTable, pending: Pending, holdsBack: boolean): Generator<Finished | null> {
  for (const series of pending.series()) {
    const { count, heldCount } = pending.counts(series);
    const kept = holdsBack ? newestBlock(pending.arrivals(series), heldCount) : NOTHING;
    const samples = withoutKept(pending.arrivals(series), kept);
    yield* sealedBlocks(chunks, series, inTimeOrder(samples));
    yield { series, count, kept };
  }
}

const NOTHING = new Uint32Array(0);

/** Those after the first `heldCount` that lie in the same block as the last to arrive. */
function newestBlock(arrivals: Samples, heldCount: number): Uint32Array {
  const { timeMs } = arrivals;
  const span = spanOf(SEALING_LEVEL);
  const block = blockStart(minuteOf(timeMs[timeMs.length - 1] ?? 0), span);
  const kept: number[] = [];
  for (let i = heldCount; i < timeMs.length; i++) {
    if (blockStart(minuteOf(timeMs[i] ?? 0), span) === block) kept.push(i);
  }
  return Uint32Array.from(kept);
}

/** Copied, since more samples may arrive while a long series is sealed in several slices. */
function withoutKept(arrivals: Samples, kept: Uint32Array): Samples {
  const isKept = new Uint8Array(arrivals.timeMs.length);
  for (const at of kept) isKept[at] = 1;
  return picked(
    arrivals,
    Uint32Array.from(isKept.keys()).filter((i) => isKept[i] === 0),
  );
}
