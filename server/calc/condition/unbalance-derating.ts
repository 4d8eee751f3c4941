import { expectNotNegative } from '../expect-not-negative.ts';
import { ratio, type Ratio } from '../units.ts';

/** Points of the curve; between them it is taken to be straight. */
const CURVE: readonly { readonly unbalance: number; readonly factor: number }[] = [
  { unbalance: 0, factor: 1 },
  { unbalance: 0.01, factor: 1 },
  { unbalance: 0.02, factor: 0.95 },
  { unbalance: 0.03, factor: 0.88 },
  { unbalance: 0.04, factor: 0.82 },
  { unbalance: 0.05, factor: 0.75 },
];

/**
 * Which part of its rated power a motor may give at an unbalanced voltage.
 *
 *     1 up to 1 %, then 0.95, 0.88, 0.82 and 0.75 at 2, 3, 4 and 5 %
 *
 * Shape    one voltage unbalance (`phaseUnbalance`) in, one factor out.
 * Units    1 -> 1
 * Unknown  null above 5 %, where a motor must not run at all.
 * Throws   RangeError when the unbalance is negative.
 * Source   NEMA MG-1, figure 14-1, read from memory: 0.95 at 2 % is confirmed, the rest is near.
 *
 * @example an unbalance of 2 % leaves 0.95
 */
export function unbalanceDerating(unbalance: Ratio): Ratio | null {
  expectNotNegative('unbalanceDerating.unbalance [1]', unbalance);
  const upper = CURVE.findIndex((point) => unbalance <= point.unbalance);
  const [from, to] = [CURVE[upper - 1] ?? CURVE[0], CURVE[upper]];
  if (from === undefined || to === undefined) return null;
  const way = from === to ? 0 : (unbalance - from.unbalance) / (to.unbalance - from.unbalance);
  return ratio(from.factor + way * (to.factor - from.factor));
}
