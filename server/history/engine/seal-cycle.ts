import type { SeriesId } from '../../ports/sample-store.ts';
import { inTimeOrder, picked, samplesSlice, type Samples } from '../samples.ts';
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
  const { chunks, pending, journal } = parts;
  let work: Work | null = null;
  let newestAtBegin = 0;
  /** Rows up to here were there when the cycle before this one began. */
  let trimUpTo = 0;
  let isTrimming = false;
  const finishedSeries: Finished[] = [];
  return {
    isRunning: () => work !== null || isTrimming,
    begin(holdsBack) {
      trimUpTo = holdsBack ? newestAtBegin : journal.newest();
      newestAtBegin = journal.newest();
      work = sealedSeries(chunks, pending, holdsBack);
    },
    slice() {
      if (work !== null) {
        if (sealedSlice(parts, work, finishedSeries)) work = null;
        for (const { series, count, kept } of finishedSeries.splice(0)) pending.drop(series, count, kept);
        isTrimming = work === null;
      } else if (isTrimming) {
        isTrimming = !trimmedSlice(parts, trimUpTo);
      }
      return work !== null || isTrimming;
    },
    abandon() {
      work = null;
      isTrimming = false;
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

function workUntil(work: Work, tickMs: () => number, finished: Finished[]): boolean {
  const endMs = tickMs() + SLICE_MS;
  do {
    const next = work.next();
    if (next.done === true) return true;
    if (next.value !== null) finished.push(next.value);
  } while (tickMs() < endMs);
  return false;
}

/** True when the last series has been sealed. */
function sealedSlice({ file, tickMs, reach }: SealCycleParts, work: Work, finished: Finished[]): boolean {
  const isDone = file.transact(() => {
    const done = workUntil(work, tickMs, finished);
    reach('block-written');
    return done;
  });
  reach('slice-durable');
  return isDone;
}

/** True when the last row has gone. Oldest first, so that what is left is always the newest part. */
function trimmedSlice({ file, journal, tickMs, reach }: SealCycleParts, upTo: number): boolean {
  const endMs = tickMs() + SLICE_MS;
  const isDone = file.transact(() => {
    let hasMore = journal.deleteOldest(upTo);
    while (hasMore && tickMs() < endMs) hasMore = journal.deleteOldest(upTo);
    reach('journal-trimmed');
    return !hasMore;
  });
  reach('trim-durable');
  return isDone;
}

type Work = Generator<Finished | null>;

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

/** Mostly the kept ones are the last to arrive, and the rest is a view: what arrives meanwhile comes behind it. */
function withoutKept(arrivals: Samples, kept: Uint32Array): Samples {
  const restCount = arrivals.timeMs.length - kept.length;
  if (kept.length === 0 || kept[0] === restCount) return samplesSlice(arrivals, 0, restCount);
  const isKept = new Uint8Array(arrivals.timeMs.length);
  for (const at of kept) isKept[at] = 1;
  return picked(
    arrivals,
    Uint32Array.from(isKept.keys()).filter((i) => isKept[i] === 0),
  );
}
