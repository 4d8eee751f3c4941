import { sumOf } from '../sum-of.ts';
import { normalUpperTail } from './normal-upper-tail.ts';

export interface MannKendall {
  /** Pairs that rise less pairs that fall. */
  readonly s: number;
  readonly variance: number;
  readonly z: number;
  /** Two-sided: how likely a series without any trend has an s this far from zero. */
  readonly pValue: number;
}

/** Up to here the normal distribution is not near enough, and the exact one is cheap. */
const EXACT_COUNT_MAX = 10;
/** With three values no order is rare. */
const COUNT_MIN = 4;

/**
 * Whether values rise or fall in the course of time, whatever their distribution.
 *
 *     s = sum over pairs of sign(later - earlier)
 *     variance = (n (n - 1) (2n + 5) - sum over ties t (t - 1) (2t + 5)) / 18;  z = (s -+ 1) / sqrt(variance)
 *
 * Shape    values in order of time in, one verdict out. The values must not lean on each other: thin them first.
 * Units    x -> 1
 * Unknown  null with fewer than four values, or when all are the same.
 * Throws   never
 * Source   Mann, Econometrica 13 (1945) 245; Kendall, Rank Correlation Methods. Up to ten values without ties the
 *          probability is counted exactly, else it is that of z.
 *
 * @example 1, 2, 3, 4, 5, 16, 7: s 19, z 2.7034
 */
export function mannKendall(values: readonly number[]): MannKendall | null {
  const n = values.length;
  const ties = tiesOf(values);
  const variance = (n * (n - 1) * (2 * n + 5) - sumOf(ties.map((t) => t * (t - 1) * (2 * t + 5)))) / 18;
  if (n < COUNT_MIN || variance === 0) return null;

  const s = risesLessFalls(values);
  const z = (s - Math.sign(s)) / Math.sqrt(variance);
  const isExact = n <= EXACT_COUNT_MAX && ties.every((t) => t === 1);
  const tail = isExact ? exactUpperTail(n, Math.abs(s)) : normalUpperTail(Math.abs(z));
  return { s, variance, z, pValue: Math.min(1, 2 * tail) };
}

function risesLessFalls(values: readonly number[]): number {
  let s = 0;
  for (const [index, earlier] of values.entries()) {
    for (let later = index + 1; later < values.length; later += 1)
      s += Math.sign((values[later] ?? 0) - earlier);
  }
  return s;
}

/** How many times each different value occurs. */
function tiesOf(values: readonly number[]): readonly number[] {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()];
}

/** The part of all orders of n different values that have s or more rises than falls. */
function exactUpperTail(n: number, s: number): number {
  const pairs = (n * (n - 1)) / 2;
  const fallsMax = (pairs - s) / 2;
  const ordersByFalls = countOrders(n);
  const all = sumOf(ordersByFalls);
  return sumOf(ordersByFalls.filter((_, falls) => falls <= fallsMax)) / all;
}

/** How many orders of n values have 0, 1, 2 ... falling pairs: the n-th value can add 0 to n - 1 of them. */
function countOrders(n: number): readonly number[] {
  let counts: readonly number[] = [1];
  for (let size = 2; size <= n; size += 1) {
    const next = new Array<number>(counts.length + size - 1).fill(0);
    for (const [falls, count] of counts.entries()) {
      for (let added = 0; added < size; added += 1) next[falls + added] = (next[falls + added] ?? 0) + count;
    }
    counts = next;
  }
  return counts;
}
