import type { SeriesId, StoredSeries } from '../../ports/sample-store.ts';
import { joinedSamples } from '../samples.ts';
import {
  DAY_MINUTES,
  DAY_MS,
  HOUR_LEVEL,
  HOUR_MS,
  LONGEST_LEVEL,
  MINUTE_MS,
  MOST_SAMPLES_PER_CHUNK,
  SEALING_LEVEL,
  spanOf,
} from './blocks.ts';
import type { Catalogue } from './catalogue.ts';
import type { ChunkTable } from './chunk-table.ts';
import { newEntryFold, widerEntries } from './entry-fold.ts';
import { quantised } from './quantise.ts';
import { writeSplit } from './sealing.ts';
import { segmentRules } from './segment-rule.ts';
import type { Entries } from '../entries.ts';

const HOURS_PER_DAY = DAY_MS / HOUR_MS;
const MINUTES_LONGEST = DAY_MS / MINUTE_MS;

interface Day {
  readonly series: SeriesId;
  readonly day: number;
}

/**
 * Merges the short chunks of a day that has come to rest into the longest that are not too large: the whole day,
 * else each hour, else each ten minutes. Yields between, where work may stop for a while.
 */
export function* mergedChunks(chunks: ChunkTable, { series, day }: Day): Generator<void> {
  const midnight = day * DAY_MINUTES;
  for (let level = LONGEST_LEVEL; level > SEALING_LEVEL; level--) {
    const spanMinutes = spanOf(level);
    for (let minute = midnight; minute < midnight + DAY_MINUTES; minute += spanMinutes) {
      if (mergeBlock(chunks, { series, level, minute })) yield;
    }
  }
}

/** One chunk of the hour, counted from 1970, where there are several short ones. */
export function mergedHour(chunks: ChunkTable, series: SeriesId, hour: number): void {
  mergeBlock(chunks, { series, level: HOUR_LEVEL, minute: hour * spanOf(HOUR_LEVEL) });
}

/** True when it wrote something. */
function mergeBlock(
  chunks: ChunkTable,
  block: { readonly series: SeriesId; readonly level: number; readonly minute: number },
): boolean {
  const spanMinutes = spanOf(block.level);
  const within = chunks.between(block.series, block.minute, block.minute + spanMinutes);
  const total = within.reduce((sum, chunk) => sum + chunk.count, 0);
  const isWorthIt = within.length > 1 && total <= MOST_SAMPLES_PER_CHUNK;
  if (!isWorthIt || within.some((chunk) => chunk.spanMinutes >= spanMinutes)) return false;
  const samples = joinedSamples(within.map((chunk) => chunks.samples(chunk)));
  for (const chunk of within) chunks.delete(chunk);
  writeSplit(chunks, block, samples);
  return true;
}

export interface DayEntries {
  readonly minutes: Entries;
  readonly hours: Entries;
}

/** The rollup entries of the day's sealed samples; null at each rest, the entries at the end. */
export function* dayEntries(
  { chunks, catalogue }: { readonly chunks: ChunkTable; readonly catalogue: Catalogue },
  { series, day }: Day,
): Generator<DayEntries | null> {
  const rules = segmentRules(catalogue.definitionsOf(series));
  const fold = newEntryFold(MINUTE_MS, MINUTES_LONGEST, rules);
  for (let hour = 0; hour < HOURS_PER_DAY; hour++) {
    const minute = day * DAY_MINUTES + hour * 60;
    const starting = chunks.between(series, minute, minute + 60).filter((chunk) => chunk.minute >= minute);
    for (const chunk of starting) fold.add(chunks.samples(chunk));
    if (starting.length > 0) yield null;
  }
  const resolution = resolutionOn(catalogue.definitionsOf(series), day);
  const minutes = withoutRoundingNoise(fold.entries(), resolution);
  yield { minutes, hours: withoutRoundingNoise(widerEntries(minutes, HOUR_MS, rules), resolution) };
}

function resolutionOn(definitions: readonly StoredSeries[], day: number): number {
  const inForce = definitions.findLast(({ validFromMs }) => validFromMs <= day * DAY_MS) ?? definitions[0];
  return inForce?.resolution ?? 0;
}

/**
 * Values are multiples of the resolution and times whole milliseconds, so a true integral is a multiple of half the
 * resolution times a millisecond. What the sum of doubles is off by is noise, and would cost five bytes an entry.
 */
function withoutRoundingNoise(entries: Entries, resolution: number): Entries {
  return { ...entries, integral: entries.integral.map((integral) => quantised(integral, resolution / 2)) };
}
