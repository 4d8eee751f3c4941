import { expectWithin } from '../expect-within.ts';
import { figureInputError } from '../figure-input-error.ts';
import { sumOf } from '../sum-of.ts';

export interface ReplicateCheck {
  /** Mean of the replicates, to the nearest whole per cent. */
  readonly averagePercent: number;
  readonly rangePercent: number;
  /** Null where the table has no entry: the range then decides nothing. */
  readonly toleratedPercent: number | null;
  readonly stands: boolean;
}

/** From an average of `from` per cent downwards to the next row, and as far from 0 as from 100, the range tolerated. */
const TOLERATED_RANGES: readonly { readonly from: number; readonly range: number }[] = [
  { from: 99, range: 5 },
  { from: 98, range: 6 },
  { from: 97, range: 7 },
  { from: 96, range: 8 },
  { from: 95, range: 9 },
  { from: 93, range: 10 },
  { from: 91, range: 11 },
  { from: 89, range: 12 },
  { from: 87, range: 13 },
  { from: 84, range: 14 },
  { from: 81, range: 15 },
  { from: 78, range: 16 },
  { from: 73, range: 17 },
  { from: 67, range: 18 },
  { from: 56, range: 19 },
  { from: 51, range: 20 },
];
const REPLICATES = 4;

/**
 * Whether a germination test stands, or its four replicates of a hundred seeds differ by more than chance lets them.
 *
 *     stands when largest - smallest replicate <= range tolerated for the average
 *
 * Shape    four replicates in per cent of a hundred seeds in, one verdict out. The counts are whole, hence per cent here.
 * Units    % -> %
 * Unknown  no tolerance, and the test stands, for an average of 100 % or of at most 1 %: the table has none.
 * Throws   RangeError unless there are four replicates, each from 0 to 100.
 * Source   7 CFR 201.55 (averages 70 to 99); ISTA Rules, table 5B part 1, is the same and gives the rows below, which
 *          are from memory.
 *
 * @example 94, 91, 88 and 93: average 92, range 6, tolerated 11, so the test stands
 */
export function replicateCheck(replicates: readonly number[]): ReplicateCheck {
  if (replicates.length !== REPLICATES) {
    throw figureInputError('replicateCheck.replicates count [1]', replicates.length, `${REPLICATES}`);
  }
  for (const [index, percent] of replicates.entries()) {
    expectWithin(`replicateCheck.replicates[${index}] [%]`, percent, { low: 0, high: 100 });
  }
  const averagePercent = Math.round(sumOf(replicates) / REPLICATES);
  const rangePercent = Math.max(...replicates) - Math.min(...replicates);
  const toleratedPercent = toleratedRange(averagePercent);
  return {
    averagePercent,
    rangePercent,
    toleratedPercent,
    stands: toleratedPercent === null || rangePercent <= toleratedPercent,
  };
}

/** The table pairs averages that add up to 101: 99 with 2, 51 with 50. */
function toleratedRange(average: number): number | null {
  const upper = average > 50 ? average : 101 - average;
  if (upper > 99) return null;
  return TOLERATED_RANGES.find(({ from }) => upper >= from)?.range ?? null;
}
