import type { SampleColumns, SeriesId } from '../../ports/sample-store.ts';
import { emptySamples, inTimeOrder, NO_SAMPLES, samplesSlice, type Samples } from '../samples.ts';

const FIRST_CAPACITY = 64;
/** 150 kB. */
const MOST_REUSED = 8192;

/** Durable samples of every series that are in the journal and not yet in a chunk, in order of arrival. */
export interface Pending {
  add(columns: SampleColumns): void;
  /** Ascending, each time once, the newest arrival of each. Valid until the next `add` or `drop`. */
  of(series: SeriesId): Samples;
  /** Series that have any, in ascending id. */
  series(): readonly SeriesId[];
  /** How many of the series' samples, and how many of these were held back by the last sealing. */
  counts(series: SeriesId): { readonly count: number; readonly heldCount: number };
  /** In order of arrival; a view. */
  arrivals(series: SeriesId): Samples;
  /** Forgets the first `count` to arrive save those at `kept`, which are held back for the next sealing. */
  drop(series: SeriesId, count: number, kept: Uint32Array): void;
  total(): number;
}

interface Buffer {
  columns: Samples;
  count: number;
  heldCount: number;
  isAscending: boolean;
  ordered: Samples | null;
}

export function newPending(): Pending {
  const buffers = new Map<SeriesId, Buffer>();
  let total = 0;
  const bufferOf = (series: SeriesId): Buffer => {
    const known = buffers.get(series);
    if (known !== undefined) return known;
    const fresh = newBuffer(FIRST_CAPACITY);
    buffers.set(series, fresh);
    return fresh;
  };
  return {
    add(columns) {
      const length = columns.timeMs.length;
      for (let i = 0; i < length; i++) push(bufferOf(columns.series[i] ?? 0), columns, i);
      total += length;
    },
    of(series) {
      const buffer = buffers.get(series);
      return buffer === undefined ? NO_SAMPLES : orderedView(buffer);
    },
    series: () => [...buffers.keys()].sort((a, b) => a - b),
    counts(series) {
      const buffer = buffers.get(series);
      return { count: buffer?.count ?? 0, heldCount: buffer?.heldCount ?? 0 };
    },
    arrivals(series) {
      const buffer = buffers.get(series);
      return buffer === undefined ? NO_SAMPLES : samplesSlice(buffer.columns, 0, buffer.count);
    },
    drop(series, count, kept) {
      const buffer = buffers.get(series);
      if (buffer === undefined) return;
      const before = buffer.count;
      const rest = isReused(buffer)
        ? buffer
        : newBuffer(Math.max(FIRST_CAPACITY, before - count + kept.length));
      moveRest(buffer, rest, { count, kept });
      total -= before - rest.count;
      if (rest.count === 0) buffers.delete(series);
      else buffers.set(series, rest);
    },
    total: () => total,
  };
}

function newBuffer(capacity: number): Buffer {
  return { columns: emptySamples(capacity), count: 0, heldCount: 0, isAscending: true, ordered: null };
}

function push(buffer: Buffer, from: SampleColumns, i: number): void {
  if (buffer.count === buffer.columns.timeMs.length) grow(buffer);
  const { columns, count } = buffer;
  const timeMs = from.timeMs[i] ?? 0;
  if (count > 0 && timeMs <= (columns.timeMs[count - 1] ?? 0)) buffer.isAscending = false;
  columns.timeMs[count] = timeMs;
  columns.value[count] = from.value[i] ?? NaN;
  columns.status[count] = from.status[i] ?? 0;
  columns.reason[count] = from.reason[i] ?? 0;
  buffer.count = count + 1;
  buffer.ordered = null;
}

function grow(buffer: Buffer): void {
  const larger = emptySamples(Math.ceil(buffer.columns.timeMs.length * 1.5));
  copy(buffer.columns, larger, 0);
  buffer.columns = larger;
}

function copy(from: Samples, to: Samples, at: number): void {
  to.timeMs.set(from.timeMs, at);
  to.value.set(from.value, at);
  to.status.set(from.status, at);
  to.reason.set(from.reason, at);
}

function orderedView(buffer: Buffer): Samples {
  if (buffer.ordered !== null) return buffer.ordered;
  const all = samplesSlice(buffer.columns, 0, buffer.count);
  buffer.ordered = buffer.isAscending ? all : inTimeOrder(all);
  return buffer.ordered;
}

/**
 * As much is likely to come until the next sealing as came until this one, so the same memory is filled again. Not
 * that of a backfill: an answer may still be reading a long series piece by piece, and the memory is soon of no use.
 */
function isReused({ columns, count }: Buffer): boolean {
  const capacity = columns.timeMs.length;
  return capacity <= MOST_REUSED && capacity <= Math.max(FIRST_CAPACITY, count * 4);
}

/** Those at `kept` of the first `count`, then all after these, to the front of `to`, which may be the same. */
function moveRest(
  from: Buffer,
  to: Buffer,
  { count, kept }: { readonly count: number; readonly kept: Uint32Array },
): void {
  const { columns, count: end } = from;
  to.count = 0;
  to.isAscending = true;
  to.ordered = null;
  const take = (at: number): void => push(to, { ...columns, series: NO_SERIES }, at);
  for (const at of kept) take(at);
  to.heldCount = kept.length;
  for (let at = count; at < end; at++) take(at);
}

const NO_SERIES = new Uint32Array(0);
