import type { TagTable } from './tag-table.ts';

/** Time in which a tag was not heard: after `fromMs`, before `toMs`, both by the plant's clock. */
export interface Stretch {
  readonly index: number;
  /** Source time of the last reading kept; -Infinity when none ever was. */
  readonly fromMs: number;
  readonly toMs: number;
  /** When the link broke, which for all of its tags is the same; null when it was we who were not there. */
  readonly lostMs: number | null;
  /** The first reading after it has the source time of the last before it: the value stood still. */
  readonly isHeld: boolean;
}

/** What is still missing of each tag: open ends, and stretches whose end is known and which wait to be asked for. */
export interface Missing {
  /** NaN where nothing is missing, else where it begins. */
  readonly openFromMs: Float64Array;
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
    openLostMs: new Float64Array(recordedUntilMs.length).fill(NaN),
    waiting: [],
  };
}

/** Ends the open stretch of each tag that has been heard again on the connection that began at `sinceMs`. */
export function endStretches(missing: Missing, table: TagTable, sinceMs: number): void {
  for (const [index, fromMs] of missing.openFromMs.entries()) {
    const firstMs = table.firstSourceMs[index] ?? NaN;
    if (Number.isNaN(fromMs) || Number.isNaN(firstMs)) continue;
    const stretch = endedStretch(missing, { index, firstMs, sinceMs });
    missing.openFromMs[index] = NaN;
    if (stretch.toMs > fromMs) missing.waiting.push(stretch);
  }
}

function endedStretch(
  missing: Missing,
  { index, firstMs, sinceMs }: { index: number; firstMs: number; sinceMs: number },
): Stretch {
  const fromMs = missing.openFromMs[index] ?? -Infinity;
  const lostMs = missing.openLostMs[index] ?? NaN;
  // The first reading of a contact that has not moved is older than the break: then the break ended with the link's.
  const isHeld = firstMs <= fromMs;
  const toMs = isHeld ? Math.max(sinceMs, firstMs) : firstMs;
  return { index, fromMs, toMs, lostMs: Number.isNaN(lostMs) ? null : lostMs, isHeld };
}

/** Begins a stretch for each tag that was being heard. Answers with those of the waiting that are too many. */
export function beginStretches(missing: Missing, table: TagTable, lostMs: number): readonly Stretch[] {
  for (let index = 0; index < table.tags.length; index++) {
    if (!Number.isNaN(missing.openFromMs[index])) continue;
    missing.openFromMs[index] = table.sourceMs[index] ?? NaN;
    missing.openLostMs[index] = lostMs;
  }
  const tooMany = missing.waiting.length - STRETCHES_OF_TAG_MAX * table.tags.length;
  return tooMany > 0 ? missing.waiting.splice(0, tooMany) : [];
}

/** A hole that stays: nothing is known of the tag between the two. */
export interface Hole {
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * What the plant's history could not give back of a stretch: every hole between neighbouring source times that
 * is longer than the tag's allowed age, since a held value counts for no longer than that, live or past. With no
 * value at all the whole stretch is a hole, unless the value stood still and the stretch is shorter than that.
 */
export function holesOf(stretch: Stretch, timesMs: readonly number[], staleAfterMs: number): readonly Hole[] {
  const { fromMs, toMs, isHeld } = stretch;
  if (timesMs.length === 0) {
    const isNothing = fromMs === -Infinity || (isHeld && toMs - fromMs <= staleAfterMs);
    return isNothing ? [] : [{ fromMs, toMs }];
  }
  const holes: Hole[] = [];
  let lastMs = fromMs;
  for (const timeMs of [...timesMs, toMs]) {
    if (lastMs !== -Infinity && timeMs - lastMs > staleAfterMs) holes.push({ fromMs: lastMs, toMs: timeMs });
    lastMs = timeMs;
  }
  return holes;
}
