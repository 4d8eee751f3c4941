import type { SeriesId } from '../../ports/sample-store.ts';
import { firstAtOrAfter, mergedSamples, samplesBetween, samplesSlice, type Samples } from '../samples.ts';
import { MINUTE_MS, minuteOf } from './blocks.ts';
import type { ChunkEntry, ChunkTable } from './chunk-table.ts';
import type { Pending } from './pending.ts';

/** Sealed and pending samples of a series as one. */
export interface SeriesReader {
  /** Ascending pieces of `[fromMs, toMs)`, each about a part of a chunk; none is empty. */
  pieces(series: SeriesId, fromMs: number, toMs: number): Generator<Samples>;
  /** The newest sample at or before the time: one row, or null. */
  newestUpTo(series: SeriesId, timeMs: number): Samples | null;
  /** The oldest sample at or after the time: one row, or null. */
  oldestFrom(series: SeriesId, timeMs: number): Samples | null;
}

export function newSeriesReader(chunks: ChunkTable, pending: Pending): SeriesReader {
  return {
    pieces: (series, fromMs, toMs) => pieces({ chunks, pending }, series, { fromMs, toMs }),
    newestUpTo(series, timeMs) {
      const waiting = pending.of(series);
      const fresh = rowAt(waiting, firstAtOrAfter(waiting.timeMs, timeMs + 1) - 1);
      const sealed = newestSealed(chunks, series, timeMs);
      if (fresh === null || sealed === null) return fresh ?? sealed;
      return (sealed.timeMs[0] ?? 0) > (fresh.timeMs[0] ?? 0) ? sealed : fresh;
    },
    oldestFrom(series, timeMs) {
      const waiting = pending.of(series);
      const fresh = rowAt(waiting, firstAtOrAfter(waiting.timeMs, timeMs));
      const sealed = oldestSealed(chunks, series, timeMs);
      if (fresh === null || sealed === null) return fresh ?? sealed;
      return (sealed.timeMs[0] ?? 0) < (fresh.timeMs[0] ?? 0) ? sealed : fresh;
    },
  };
}

interface Sources {
  readonly chunks: ChunkTable;
  readonly pending: Pending;
}

function* pieces(
  { chunks, pending }: Sources,
  series: SeriesId,
  range: { readonly fromMs: number; readonly toMs: number },
): Generator<Samples> {
  let doneMs = range.fromMs;
  while (doneMs < range.toMs) {
    // Looked up anew after each yield: in between, samples may have been sealed and chunks merged.
    const chunk = chunks.firstEndingAfter(series, minuteOf(doneMs));
    const startMs = chunk === null ? range.toMs : Math.max(doneMs, chunk.minute * MINUTE_MS);
    if (chunk === null || startMs >= range.toMs) break;
    const part = chunks.partAt(chunk, startMs);
    const endMs = Math.min(range.toMs, part.toMs);
    const waiting = samplesBetween(pending.of(series), doneMs, endMs);
    const sealed = samplesBetween(part.samples, startMs, endMs);
    doneMs = endMs;
    yield* unlessEmpty(mergedSamples(sealed, waiting));
  }
  yield* unlessEmpty(samplesBetween(pending.of(series), doneMs, range.toMs));
}

function* unlessEmpty(samples: Samples): Generator<Samples> {
  if (samples.timeMs.length > 0) yield samples;
}

function newestSealed(chunks: ChunkTable, series: SeriesId, timeMs: number): Samples | null {
  let upToMs = timeMs;
  let chunk = chunks.lastStartingAtOrBefore(series, minuteOf(upToMs));
  while (chunk !== null) {
    const { samples, fromMs } = chunks.partAt(chunk, upToMs);
    const row = rowAt(samples, firstAtOrAfter(samples.timeMs, timeMs + 1) - 1);
    if (row !== null || fromMs === 0) return row;
    upToMs = fromMs - 1;
    if (minuteOf(upToMs) < chunk.minute) chunk = chunks.lastStartingAtOrBefore(series, minuteOf(upToMs));
  }
  return null;
}

function oldestSealed(chunks: ChunkTable, series: SeriesId, timeMs: number): Samples | null {
  let fromMs = timeMs;
  let chunk = chunks.firstEndingAfter(series, minuteOf(fromMs));
  while (chunk !== null) {
    const { samples, toMs } = chunks.partAt(chunk, fromMs);
    const row = rowAt(samples, firstAtOrAfter(samples.timeMs, timeMs));
    if (row !== null) return row;
    fromMs = toMs;
    if (fromMs >= endOf(chunk)) chunk = chunks.firstEndingAfter(series, minuteOf(fromMs));
  }
  return null;
}

function rowAt(samples: Samples, i: number): Samples | null {
  return i >= 0 && i < samples.timeMs.length ? samplesSlice(samples, i, i + 1) : null;
}

function endOf(chunk: ChunkEntry): number {
  return (chunk.minute + chunk.spanMinutes) * MINUTE_MS;
}
