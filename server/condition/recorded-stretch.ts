import type { Glimpse } from '../machines/step-point.ts';
import { withDerived, type WatchedMachine } from '../machines/watched-machine.ts';

/** A tag over a stretch of recorded time: means of equal buckets, NaN where nothing was known. */
export interface RecordedTag {
  readonly timeMs: Float64Array;
  readonly mean: Float64Array;
  readonly coveredRatio: Float64Array;
}

/** What a line is set for, from an instant on. */
export interface SetFor {
  readonly fromMs: number;
  readonly group: string;
}

/** What was recorded of all watched tags over one stretch, and what each line was set for from when on. */
export interface RecordedStretch {
  readonly fromMs: number;
  readonly toMs: number;
  readonly tags: ReadonlyMap<string, RecordedTag>;
  readonly settings: ReadonlyMap<string, readonly SetFor[]>;
}

export const GLIMPSE_MS = 120_000;
/** A bucket of which less was seen tells nothing. */
const COVERED_MIN = 0.5;

/** One look at a machine every two minutes of the stretch. */
export function glimpsesOf(stretch: RecordedStretch, machine: WatchedMachine): readonly Glimpse[] {
  const glimpses: Glimpse[] = [];
  for (let timeMs = stretch.fromMs; timeMs < stretch.toMs; timeMs += GLIMPSE_MS) {
    const read = (named: ReadonlyMap<string, string>) => {
      const values = new Map<string, number>();
      for (const [name, tag] of named) {
        const value = valueAt(stretch.tags.get(tag), timeMs);
        if (value !== null) values.set(name, value);
      }
      return values;
    };
    const share = valueAt(stretch.tags.get(machine.runningTag), timeMs);
    const isRunning = share === null ? null : share > 0.999;
    glimpses.push({
      timeMs,
      isRunning,
      group: groupAt(stretch, machine.line, timeMs),
      values: isRunning === true ? withDerived(read(machine.tags)) : new Map<string, number>(),
      influences: read(machine.influences),
    });
  }
  return glimpses;
}

function valueAt(tag: RecordedTag | undefined, timeMs: number): number | null {
  if (tag === undefined) return null;
  const bucket = bucketOf(tag.timeMs, timeMs);
  const value = tag.mean[bucket] ?? NaN;
  return (tag.coveredRatio[bucket] ?? 0) >= COVERED_MIN && Number.isFinite(value) ? value : null;
}

/** The bucket that an instant lies in, found by halving; -1 before the first. */
function bucketOf(starts: Float64Array, timeMs: number): number {
  let [low, high] = [-1, starts.length - 1];
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((starts[middle] ?? Infinity) <= timeMs) low = middle;
    else high = middle - 1;
  }
  return low;
}

function groupAt({ settings }: RecordedStretch, line: string, timeMs: number): string {
  return settings.get(line)?.findLast(({ fromMs }) => fromMs <= timeMs)?.group ?? '';
}
