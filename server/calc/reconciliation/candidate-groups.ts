import { dot, transpose, type Vector } from '../matrix.ts';
import type { Reconciliation } from './reconcile-flows.ts';

export interface CandidateGroups {
  /** Measured flows, by index, whose errors the balances cannot tell apart; a group of one stands alone. */
  readonly groups: readonly (readonly number[])[];
  /** Measured flows whose errors no balance shows. */
  readonly unchecked: readonly number[];
}

/** Columns whose cosine is this near to 1 differ by rounding only. */
const PARALLEL = 1 - 1e-9;

/**
 * Which instruments can be told apart, and which only as a group.
 *
 *     an error of instrument j moves the residuals along column j of the balances: parallel columns look the same
 *
 * Shape    one reconciliation in, groups of flows out, in order of their first member.
 * Units    1 -> none
 * Unknown  none
 * Throws   never
 * Source   equivalence classes of gross errors, Narasimhan & Jordache (2000), ch. 7.
 *
 * @example with one machine, one flow in and one out, both are one group: the balance cannot say which is wrong
 */
export function candidateGroups({ balances, adjustments }: Reconciliation): CandidateGroups {
  const columns = transpose(balances);
  const groups: { readonly column: Vector; readonly members: number[] }[] = [];
  const unchecked: number[] = [];
  for (const [index, adjustment] of adjustments.entries()) {
    if (adjustment === null) continue;
    const column = columns[index] ?? [];
    const alike = groups.find((group) => isParallel(group.column, column));
    if (dot(column, column) === 0) unchecked.push(index);
    else if (alike === undefined) groups.push({ column, members: [index] });
    else alike.members.push(index);
  }
  return { groups: groups.map(({ members }) => members), unchecked };
}

function isParallel(a: Vector, b: Vector): boolean {
  return Math.abs(dot(a, b)) >= PARALLEL * Math.sqrt(dot(a, a) * dot(b, b)) && dot(b, b) > 0;
}
