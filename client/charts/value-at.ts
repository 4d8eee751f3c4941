import type { TrendColumns } from '../live/trend-columns.ts';

/** The value of the bucket that holds an instant; null in a gap and outside of what is known. */
export function valueAt({ timeMs, mid }: TrendColumns, atMs: number): number | null {
  let low = 0;
  let high = timeMs.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((timeMs[middle] ?? Infinity) <= atMs) low = middle;
    else high = middle - 1;
  }
  const startMs = timeMs[low];
  return startMs === undefined || startMs > atMs ? null : (mid[low] ?? null);
}
