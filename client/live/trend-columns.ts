import type { ThinnedSeries } from '../../server/contract/history-answer.ts';

/** One series ready to draw: columns of equal length in ascending time; null is a gap and is drawn as one. */
export interface TrendColumns {
  readonly timeMs: readonly number[];
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
  /** The line: the mean of the bucket for analogues, its last value for contacts and set values. */
  readonly mid: readonly (number | null)[];
  /** Whether a bucket holds what is known but not to be trusted; absent when none does. */
  readonly doubt?: readonly boolean[];
}

export const EMPTY_COLUMNS: TrendColumns = { timeMs: [], min: [], max: [], mid: [] };

/** Below this covered share a bucket without readings is a gap; above it, its value stood still. */
const HELD_RATIO = 0.5;

/**
 * An answer of the history as columns. A bucket in which the value was known but no reading came is one in which it
 * stood still: it takes the value before it.
 */
export function columnsFromHistory(series: ThinnedSeries): TrendColumns {
  const held = heldValues(series);
  const filled = (column: readonly (number | null)[]) => held.map((value, index) => column[index] ?? value);
  return {
    timeMs: series.timeMs,
    min: filled(series.min),
    max: filled(series.max),
    mid: filled(series.interpolation === 'step' ? series.last : series.mean),
    ...doubtFrom(series.uncertainRatio.map((ratio) => ratio > 0)),
  };
}

function doubtFrom(doubt: readonly boolean[]): Pick<TrendColumns, 'doubt'> {
  return doubt.includes(true) ? { doubt } : {};
}

/** For each bucket without a reading, the value that stood still in it; null where there was none. */
function heldValues({ last, coveredRatio }: ThinnedSeries): readonly (number | null)[] {
  let before: number | null = null;
  return last.map((value, index): number | null => {
    if (value !== null) before = value;
    else if ((coveredRatio[index] ?? 0) <= HELD_RATIO) before = null;
    return value === null ? before : null;
  });
}

/** Follows one series live in buckets of a fixed width. */
export interface LiveBuckets {
  /** One value, or null where the series has none. */
  take(timeMs: number, value: number | null, isDoubtful?: boolean): void;
  /** A live link that sends nothing means that the value stands still. */
  holdUntil(timeMs: number, value: number | null): void;
  /** Forgets what lies before a time, and with Infinity everything. */
  dropBefore(timeMs: number): void;
  columns(): TrendColumns;
}

export function liveBuckets(bucketMs: number): LiveBuckets {
  let timeMs: number[] = [];
  let min: (number | null)[] = [];
  let max: (number | null)[] = [];
  let mid: (number | null)[] = [];
  let doubt: boolean[] = [];

  function open(startMs: number, value: number | null, isDoubtful: boolean) {
    timeMs.push(startMs);
    min.push(value);
    max.push(value);
    mid.push(value);
    doubt.push(isDoubtful);
  }

  return {
    take(atMs, value, isDoubtful = false) {
      const startMs = Math.floor(atMs / bucketMs) * bucketMs;
      const last = timeMs.length - 1;
      const lastMs = timeMs[last];
      if (lastMs === undefined || startMs > lastMs) {
        open(startMs, value, isDoubtful);
        return;
      }
      if (startMs < lastMs) return; // Late: the history has it, and the next fetch brings it.
      [mid[last], doubt[last]] = [value, doubt[last] === true || isDoubtful];
      if (value === null) return;
      min[last] = Math.min(min[last] ?? value, value);
      max[last] = Math.max(max[last] ?? value, value);
    },
    holdUntil(untilMs, value) {
      const lastMs = timeMs.at(-1);
      const nextMs = lastMs === undefined ? Math.floor(untilMs / bucketMs) * bucketMs : lastMs + bucketMs;
      for (let startMs = nextMs; startMs <= untilMs; startMs += bucketMs) {
        open(startMs, value, (doubt.at(-1) ?? false) && value !== null);
      }
    },
    dropBefore(beforeMs) {
      const keep = timeMs.findIndex((time) => time >= beforeMs);
      const from = keep === -1 ? timeMs.length : keep;
      if (from === 0) return;
      timeMs = timeMs.slice(from);
      min = min.slice(from);
      max = max.slice(from);
      mid = mid.slice(from);
      doubt = doubt.slice(from);
    },
    columns: () => ({ timeMs, min, max, mid, ...doubtFrom(doubt) }),
  };
}

/** The past from the history and what has come since, cut to what begins at `fromMs`. */
export function joinedColumns(past: TrendColumns, live: TrendColumns, fromMs: number): TrendColumns {
  const lastPastMs = past.timeMs.at(-1) ?? -Infinity;
  const pastFrom = firstAt(past.timeMs, fromMs);
  const liveFrom = firstAt(live.timeMs, Math.max(fromMs, lastPastMs + 1));
  const joined = <Value>(one: readonly Value[], other: readonly Value[]) => [
    ...one.slice(pastFrom),
    ...other.slice(liveFrom),
  ];
  const hasDoubt = past.doubt !== undefined || live.doubt !== undefined;
  const doubtOf = ({ doubt, timeMs }: TrendColumns) => doubt ?? timeMs.map(() => false);
  return {
    ...(hasDoubt ? { doubt: joined(doubtOf(past), doubtOf(live)) } : {}),
    timeMs: joined(past.timeMs, live.timeMs),
    min: joined(past.min, live.min),
    max: joined(past.max, live.max),
    mid: joined(past.mid, live.mid),
  };
}

function firstAt(timeMs: readonly number[], fromMs: number): number {
  const index = timeMs.findIndex((time) => time >= fromMs);
  return index === -1 ? timeMs.length : index;
}
