import { figureInputError } from '../figure-input-error.ts';

/**
 * The middle value.
 *
 *     median = middle of the sorted values, or mean of the two in the middle
 *
 * Shape    at least one value, in any order, in; one value out.
 * Units    x -> x
 * Unknown  none
 * Throws   RangeError when there is no value.
 * Source   definition.
 *
 * @example of 9, 1, 2, 1, 6, 2 and 4 it is 2
 */
export function medianOf(values: readonly number[]): number {
  if (values.length === 0) throw figureInputError('medianOf.values count [1]', 0, '>= 1');
  return medianOfSorted(Float64Array.from(values).sort());
}

/** The same, of values that are in ascending order already. */
export function medianOfSorted(sorted: ArrayLike<number>): number {
  const middle = Math.floor(sorted.length / 2);
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}
