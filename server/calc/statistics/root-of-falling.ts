/** Halvings after which the two ends of any interval of doubles have met. */
const HALVINGS_MAX = 200;

/**
 * Where a falling function crosses zero.
 *
 *     halve the interval, keep the half at whose ends the signs differ
 *
 * Shape    a function and an interval with the zero inside in, one point out.
 * Units    x -> x
 * Unknown  none
 * Throws   never; without a zero inside it gives the end that is nearer to one.
 * Source   bisection.
 *
 * @example 2 - x falls through zero at 2
 */
export function rootOfFalling(
  falling: (x: number) => number,
  interval: { readonly low: number; readonly high: number },
): number {
  let { low, high } = interval;
  for (let n = 0; n < HALVINGS_MAX; n += 1) {
    const middle = low + (high - low) / 2;
    if (middle === low || middle === high) break;
    if (falling(middle) > 0) low = middle;
    else high = middle;
  }
  return low + (high - low) / 2;
}
