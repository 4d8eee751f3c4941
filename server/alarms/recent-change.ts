/** A value as it was, newest last. */
export type RecentValues = readonly { readonly timeMs: number; readonly value: number }[];

/** A change is seen late by at most this part of its window, and a window is remembered in about twice as many values. */
const VALUES_A_WINDOW = 50;

/** The values of the window with one more; one value from before the window stays, so that the window is covered. */
export function withRecent(
  recent: RecentValues,
  latest: { readonly timeMs: number; readonly value: number },
  withinMs: number,
): RecentValues {
  const fromMs = latest.timeMs - withinMs;
  const firstInside = recent.findIndex(({ timeMs }) => timeMs > fromMs);
  const kept = firstInside === -1 ? recent.slice(-1) : recent.slice(Math.max(0, firstInside - 1));
  const before = kept.at(-2);
  const isCrowded = before !== undefined && latest.timeMs - before.timeMs < withinMs / VALUES_A_WINDOW;
  return [...(isCrowded ? kept.slice(0, -1) : kept), latest];
}

/**
 * By how much has a value moved within a time?
 *
 *     change = newest value - value that held `within` ago, or the oldest that is known since
 *
 * Shape    values of one window, oldest first -> one difference; null while there are fewer than two
 * Units    x -> x
 * Throws   never
 * Source   definition
 *
 * @example 20 at 0 min, 26 at 8 min: risen by 6 within 10 min
 */
export function recentChange(recent: RecentValues): number | null {
  const [oldest] = recent;
  const newest = recent.at(-1);
  return oldest === undefined || newest === undefined || recent.length < 2
    ? null
    : newest.value - oldest.value;
}
