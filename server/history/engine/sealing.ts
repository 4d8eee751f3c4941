import type { SeriesId } from '../../ports/sample-store.ts';
import { joinedSamples, mergedSamples, samplesBetween, type Samples } from '../samples.ts';
import {
  blockStart,
  levelOf,
  LONGEST_LEVEL,
  MINUTE_MS,
  minuteOf,
  MOST_SAMPLES_PER_CHUNK,
  SEALING_LEVEL,
  SHORTEST_LEVEL,
  spanOf,
} from './blocks.ts';
import type { ChunkEntry, ChunkTable } from './chunk-table.ts';

/** A stretch of time that one chunk may cover: `SPANS_MINUTES[level]` from `minute`. */
interface Block {
  readonly series: SeriesId;
  readonly level: number;
  readonly minute: number;
}

/**
 * Writes ascending samples into chunks, block by block, and yields after each. Late samples go the same way as
 * new ones: the block is read, merged with them (they win where a time is there already) and written again.
 */
export function* sealedBlocks(chunks: ChunkTable, series: SeriesId, samples: Samples): Generator<null> {
  let rest = samples;
  while (rest.timeMs.length > 0) {
    const minute = minuteOf(rest.timeMs[0] ?? 0);
    const lastMinute = minuteOf(rest.timeMs[rest.timeMs.length - 1] ?? 0);
    const block = completeBlock(chunks, { series, minute, lastMinute }) ?? blockFor(chunks, series, minute);
    const endMs = (block.minute + spanOf(block.level)) * MINUTE_MS;
    writeBlock(chunks, block, samplesBetween(rest, 0, endMs));
    rest = samplesBetween(rest, endMs, Infinity);
    yield null;
  }
}

/** Writes the block as one chunk, or as several of the next shorter spans when it holds too many samples. */
export function writeSplit(chunks: ChunkTable, block: Block, samples: Samples): void {
  const spanMinutes = spanOf(block.level);
  if (samples.timeMs.length <= MOST_SAMPLES_PER_CHUNK || block.level === SHORTEST_LEVEL) {
    chunks.put(block.series, block.minute, { spanMinutes, samples });
    return;
  }
  for (const [part, child] of partsOf(block, samples)) writeSplit(chunks, child, part);
}

/** In a backfill whole hours and days come at once: they need not be sealed by ten minutes, and merged later. */
function completeBlock(
  chunks: ChunkTable,
  {
    series,
    minute,
    lastMinute,
  }: { readonly series: SeriesId; readonly minute: number; readonly lastMinute: number },
): Block | null {
  for (let level = LONGEST_LEVEL; level > SEALING_LEVEL; level--) {
    const spanMinutes = spanOf(level);
    const start = blockStart(minute, spanMinutes);
    const isComplete = start + spanMinutes <= lastMinute;
    if (isComplete && chunks.between(series, start, start + spanMinutes).length === 0)
      return { series, level, minute: start };
  }
  return null;
}

/** The chunk that covers the minute already, if it is longer than those that sealing begins with. */
function blockFor(chunks: ChunkTable, series: SeriesId, minute: number): Block {
  const chunk = chunks.lastStartingAtOrBefore(series, minute);
  const isCovered = chunk !== null && chunk.minute + chunk.spanMinutes > minute;
  const level = isCovered ? Math.max(levelOf(chunk.spanMinutes), SEALING_LEVEL) : SEALING_LEVEL;
  return { series, level, minute: blockStart(minute, spanOf(level)) };
}

function writeBlock(chunks: ChunkTable, block: Block, samples: Samples): void {
  const spanMinutes = spanOf(block.level);
  const within = chunks.between(block.series, block.minute, block.minute + spanMinutes);
  const total = within.reduce((sum, chunk) => sum + chunk.count, samples.timeMs.length);
  const isOneChunk = within.some((chunk) => chunk.spanMinutes === spanMinutes);
  if (total <= MOST_SAMPLES_PER_CHUNK || isOneChunk || block.level === SHORTEST_LEVEL) {
    const merged = mergedSamples(joinedSamples(within.map((chunk) => chunks.samples(chunk))), samples);
    replace(chunks, block, { within, merged });
    return;
  }
  for (const [part, child] of partsOf(block, samples)) writeBlock(chunks, child, part);
}

function replace(
  chunks: ChunkTable,
  block: Block,
  change: { readonly within: readonly ChunkEntry[]; readonly merged: Samples },
): void {
  for (const chunk of change.within) chunks.delete(chunk);
  writeSplit(chunks, block, change.merged);
}

/** The samples of each shorter block that has any. */
function* partsOf(block: Block, samples: Samples): Generator<readonly [Samples, Block]> {
  const level = block.level - 1;
  const spanMinutes = spanOf(level);
  let rest = samples;
  while (rest.timeMs.length > 0) {
    const minute = blockStart(minuteOf(rest.timeMs[0] ?? 0), spanMinutes);
    const endMs = (minute + spanMinutes) * MINUTE_MS;
    yield [samplesBetween(rest, 0, endMs), { series: block.series, level, minute }];
    rest = samplesBetween(rest, endMs, Infinity);
  }
}
