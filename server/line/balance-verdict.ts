import { dot, solverOf, transpose, type Vector } from '../calc/matrix.ts';
import { candidateGroups } from '../calc/reconciliation/candidate-groups.ts';
import { impliedBias } from '../calc/reconciliation/implied-bias.ts';
import type { Reconciliation } from '../calc/reconciliation/reconcile-flows.ts';
import { chiSquareQuantile } from '../calc/statistics/chi-square-quantile.ts';
import type { BalanceVerdict, Suspect } from '../contract/balance-report.ts';
import type { BalanceFlow } from './balance-network.ts';

/**
 * The joint level of false alarms of one verdict. Instruments keep their tolerance from minute to minute, so that a
 * shift of verdicts is nearly one verdict.
 */
const LEVEL = 1e-4;
/** A scale that is further out than this is broken, and is seen otherwise. */
const PLAUSIBLE_ERROR_RATIO = 0.05;
/** Two explanations whose statistics differ by less are not told apart: a likelihood ratio of e^3, about 20 to 1. */
const TOLD_APART = 6;
const HALF_95 = 1.96;

export interface Verdict {
  readonly is: BalanceVerdict;
  readonly suspects: readonly Suspect[];
  readonly statistic: number | null;
  readonly critical: number | null;
}

/**
 * Which instrument the balances speak against, and no more than they say.
 *
 *     statistic = transpose(r) S^-1 r;  explained by a group = (transpose(a) S^-1 r)^2 / (transpose(a) S^-1 a)
 *
 * Shape    one reconciliation and what its columns are in; one verdict out.
 * Unknown  'no-redundancy' where no balance lies between measured streams, 'imbalance' where nothing single explains it.
 * Source   generalised likelihood ratio, Narasimhan & Mah, AIChE J. 33 (1987) 1514; equivalence classes, Narasimhan &
 *          Jordache (2000), ch. 7. The plausible error and the margin between explanations: common practice, no source.
 */
export function balanceVerdict(reconciliation: Reconciliation, flows: readonly BalanceFlow[]): Verdict {
  const { residuals, residualCovariance } = reconciliation;
  if (residuals.length === 0) return { is: 'no-redundancy', suspects: [], statistic: null, critical: null };
  const solved = solverOf('balanceVerdict.residualCovariance', residualCovariance)(residuals);
  const statistic = dot(residuals, solved);
  const critical = chiSquareQuantile(1 - LEVEL, residuals.length);
  if (statistic <= critical) return { is: 'fits', suspects: [], statistic, critical };

  const explained = explanations(reconciliation, solved);
  const [best] = explained;
  const restCritical = residuals.length === 1 ? 0 : chiSquareQuantile(1 - LEVEL, residuals.length - 1);
  const isEnough = best !== undefined && statistic - best.explains <= Math.max(restCritical, 1e-9);
  if (!isEnough) return { is: 'imbalance', suspects: [], statistic, critical };
  const alike = explained.filter(({ explains }) => best.explains - explains < TOLD_APART);
  const suspects = alike.flatMap(({ members }) => plausible(reconciliation, flows, members));
  return { is: nameOf(suspects), suspects, statistic, critical };
}

function nameOf(suspects: readonly Suspect[]): BalanceVerdict {
  if (suspects.length === 0) return 'imbalance';
  return suspects.length === 1 ? 'instrument' : 'candidates';
}

/** Groups of instruments with how much of the statistic each would explain, the most first. */
function explanations(reconciliation: Reconciliation, solved: Vector) {
  const columns = transpose(reconciliation.balances);
  return candidateGroups(reconciliation)
    .groups.map((members) => {
      const column = columns[members[0] ?? -1] ?? [];
      const standardError = impliedBias(reconciliation, members[0] ?? -1)?.standardError ?? Infinity;
      return { members, explains: (dot(column, solved) * standardError) ** 2 };
    })
    .toSorted((a, b) => b.explains - a.explains);
}

function plausible(
  reconciliation: Reconciliation,
  flows: readonly BalanceFlow[],
  members: readonly number[],
): readonly Suspect[] {
  return members.flatMap((index) => {
    const flow = flows[index];
    const implied = impliedBias(reconciliation, index);
    const measured = measuredAt(reconciliation, index);
    if (flow?.is !== 'stream' || implied === null || measured === null) return [];
    const tag = flow.stream.massFlowTag ?? flow.stream.massTotalTag;
    const right = measured - implied.bias;
    if (tag === null || !(right > 0)) return [];
    const errorRatio = implied.bias / right;
    if (Math.abs(errorRatio) > PLAUSIBLE_ERROR_RATIO) return [];
    const errorRatioUncertainty = (HALF_95 * implied.standardError) / right;
    return [{ stream: flow.stream.id, tag, errorRatio, errorRatioUncertainty }];
  });
}

/** What was measured: what is reconciled and the adjustment together. */
export function measuredAt({ flows, adjustments }: Reconciliation, index: number): number | null {
  const adjustment = adjustments[index] ?? null;
  const flow = flows[index] ?? null;
  return adjustment === null || flow === null ? null : flow + adjustment;
}

/** Whether an error of the flow's own size would be seen at all. */
export function isObservable(reconciliation: Reconciliation, index: number): boolean {
  const implied = impliedBias(reconciliation, index);
  const measured = measuredAt(reconciliation, index);
  if (implied === null || measured === null) return false;
  return implied.standardError * Math.sqrt(chiSquareQuantile(1 - LEVEL, 1)) <= measured;
}
