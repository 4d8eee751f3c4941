import { QUALITIES, type Quality } from '../contract/reading.ts';
import type { TagTable } from './tag-table.ts';

/** How a tag stood. */
export interface TagState {
  readonly value: number | null;
  readonly quality: Quality;
}

/** Time in which a tag was not heard: after `fromMs`, before `toMs`, both by the plant's clock. */
export interface Stretch {
  readonly index: number;
  /** Source time of the last reading kept; -Infinity when none ever was. */
  readonly fromMs: number;
  readonly toMs: number;
  /** How the tag stood at `fromMs`, or null when that is not known here. */
  readonly before: TagState | null;
  /** When the link broke, which for all of its tags is the same; null when it was we who were not there. */
  readonly lostMs: number | null;
  /** The first reading after it has the source time of the last before it: the value stood still. */
  readonly isHeld: boolean;
}

/** What is still missing of each tag: open ends, and stretches whose end is known and which wait to be asked for. */
export interface Missing {
  /** NaN where nothing is missing, else where it begins. */
  readonly openFromMs: Float64Array;
  readonly openBefore: (TagState | null)[];
  /** When the link broke in the open stretch; NaN where it was we who were not there. */
  readonly openLostMs: Float64Array;
  waiting: Stretch[];
}

/** Bound of the waiting stretches: so many breaks of the link in a row can be made good. */
export const STRETCHES_OF_TAG_MAX = 8;

/** At the start everything after the newest recorded reading is missing. */
export function missingSince(recordedUntilMs: readonly (number | null)[]): Missing {
  return {
    openFromMs: Float64Array.from(recordedUntilMs, (untilMs) => untilMs ?? -Infinity),
    openBefore: recordedUntilMs.map(() => null),
    openLostMs: new Float64Array(recordedUntilMs.length).fill(NaN),
    waiting: [],
  };
}

/** Ends the open stretch of each tag that has been heard again on the connection that began at `sinceMs`. */
export function endStretches(missing: Missing, table: TagTable, sinceMs: number): void {
  for (const [index, fromMs] of missing.openFromMs.entries()) {
    const firstMs = table.firstSourceMs[index] ?? NaN;
    if (Number.isNaN(fromMs) || Number.isNaN(firstMs)) continue;
    const ended = endedStretches(missing, table, { index, sinceMs });
    missing.waiting.push(...ended.filter((stretch) => stretch.toMs > stretch.fromMs));
    missing.openFromMs[index] = NaN;
  }
}

/**
 * The stretch up to the first reading, and where that was old already when it came, as that of a contact which has
 * not moved for an hour, the stretch from it to the beginning of the connection, over which the value stood still.
 */
function endedStretches(
  missing: Missing,
  table: TagTable,
  { index, sinceMs }: { index: number; sinceMs: number },
): readonly Stretch[] {
  const fromMs = missing.openFromMs[index] ?? -Infinity;
  const firstMs = table.firstSourceMs[index] ?? NaN;
  const openLostMs = missing.openLostMs[index] ?? NaN;
  const lostMs = Number.isNaN(openLostMs) ? null : openLostMs;
  const first = stateOf(table.firstValue[index], table.firstQuality[index]);
  if (firstMs <= fromMs) {
    return [{ index, fromMs, toMs: Math.max(sinceMs, firstMs), before: first, lostMs, isHeld: true }];
  }
  const before = missing.openBefore[index] ?? null;
  const untilFirst: Stretch = { index, fromMs, toMs: firstMs, before, lostMs, isHeld: false };
  const isOld = sinceMs - firstMs > (table.tags[index]?.staleAfterMs ?? Infinity);
  if (!isOld) return [untilFirst];
  return [untilFirst, { index, fromMs: firstMs, toMs: sinceMs, before: first, lostMs: null, isHeld: true }];
}

/** Begins a stretch for each tag that was being heard. Answers with those of the waiting that are too many. */
export function beginStretches(missing: Missing, table: TagTable, lostMs: number): readonly Stretch[] {
  for (let index = 0; index < table.tags.length; index++) {
    if (!Number.isNaN(missing.openFromMs[index])) continue;
    missing.openFromMs[index] = table.sourceMs[index] ?? NaN;
    missing.openBefore[index] = stateOf(table.value[index], table.quality[index]);
    missing.openLostMs[index] = lostMs;
  }
  const tooMany = missing.waiting.length - STRETCHES_OF_TAG_MAX * table.tags.length;
  return tooMany > 0 ? missing.waiting.splice(0, tooMany) : [];
}

function stateOf(value: number | undefined, quality: number | undefined): TagState {
  return {
    value: value === undefined || Number.isNaN(value) ? null : value,
    quality: QUALITIES[quality ?? 0] ?? 'bad',
  };
}
