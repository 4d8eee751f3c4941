import { reconcileFlows, type Reconciliation } from '../calc/reconciliation/reconcile-flows.ts';
import { MS_PER_MINUTE } from '../calc/units.ts';
import type { BalancedStream, BalanceReport } from '../contract/balance-report.ts';
import { balanceFlows, BALANCE_WINDOW_MS, hasRunSteadily } from './balance-flows.ts';
import type { BalanceNetwork } from './balance-network.ts';
import { balanceVerdict, isObservable, measuredAt, type Verdict } from './balance-verdict.ts';
import { uncertaintyOf, type Estimate } from './estimate.ts';
import type { LineContext } from './line-context.ts';

export interface BalanceState {
  readonly minute: number;
  readonly report: BalanceReport | null;
  /** What the last verdicts said alike, since when and how often; told once it has been said a few times. */
  readonly said: { readonly what: string; readonly sinceMs: number; readonly times: number } | null;
}

export const NO_BALANCE: BalanceState = { minute: -1, report: null, said: null };

const HALF_95 = 1.96;
/** One odd minute names nobody. */
const TOLD_AFTER_TIMES = 3;
/** Of a flow whose error is stated as nothing; a balance cannot be weighed with zero. */
const LEAST_DEVIATION_KG_PER_H = 0.05;

/** The balance of the line, anew once a minute. */
export function stepBalance(before: BalanceState, context: LineContext): BalanceState {
  const minute = Math.floor(context.frame.endMs / MS_PER_MINUTE);
  if (minute === before.minute) return before;
  const { network } = context.setup;
  if (network.balances.length === 0) return { minute, report: null, said: null };
  const toMs = context.frame.endMs;
  const about = { line: context.setup.graph.id, fromMs: toMs - BALANCE_WINDOW_MS, toMs };
  if (!hasRunSteadily(context, network)) {
    return { minute, report: { ...about, ...NOT_RUNNING }, said: null };
  }
  const flows = balanceFlows(context, network);
  const reconciliation = reconcileFlows({
    balances: network.balances,
    measured: flows.map((flow) => (deviationOf(flow) === null || !flow.known ? null : flow.value)),
    covariance: flows.map((flow, i) => flows.map((_, j) => (i === j ? (deviationOf(flow) ?? 0) ** 2 : 0))),
  });
  const verdict = balanceVerdict(reconciliation, network.flows);
  const said = saidWith(before.said, verdict, toMs);
  const isTold = said === null || said.times >= TOLD_AFTER_TIMES;
  return {
    minute,
    said,
    report: {
      ...about,
      verdict: isTold ? verdict.is : 'fits',
      suspects: isTold ? [...verdict.suspects] : [],
      sinceMs: isTold ? (said?.sinceMs ?? null) : null,
      closureRatio: closureOf(network, flows),
      statistic: verdict.statistic,
      critical: verdict.critical,
      streams: streamsOf(network, flows, reconciliation),
    },
  };
}

const NOT_RUNNING = {
  verdict: 'not-running',
  suspects: [],
  sinceMs: null,
  closureRatio: null,
  statistic: null,
  critical: null,
  streams: [],
} satisfies Partial<BalanceReport>;

function deviationOf(flow: Estimate): number | null {
  const half = flow.known ? uncertaintyOf(flow) : null;
  return half === null ? null : Math.max(LEAST_DEVIATION_KG_PER_H, half / HALF_95);
}

function saidWith(
  before: BalanceState['said'],
  { is, suspects }: Verdict,
  nowMs: number,
): BalanceState['said'] {
  if (is === 'fits' || is === 'no-redundancy' || is === 'not-running') return null;
  const what = `${is} ${suspects.map(({ stream }) => stream).join(' ')}`;
  if (before?.what !== what) return { what, sinceMs: nowMs, times: 1 };
  return { ...before, times: before.times + 1 };
}

/** What goes in less what comes out, over the first flow; unknown when a flow is. */
function closureOf({ balances }: BalanceNetwork, flows: readonly Estimate[]): number | null {
  let missing = 0;
  for (const row of balances) {
    for (const [index, sign] of row.entries()) {
      const flow = flows[index];
      if (sign === 0) continue;
      if (flow?.known !== true) return null;
      missing += sign * flow.value;
    }
  }
  const feed = flows[0];
  return feed?.known === true && feed.value > 0 ? missing / feed.value : null;
}

function streamsOf(
  network: BalanceNetwork,
  flows: readonly Estimate[],
  reconciliation: Reconciliation,
): BalancedStream[] {
  return network.flows.flatMap((flow, index) => {
    if (flow.is !== 'stream') return [];
    const estimate = flows[index];
    const deviation = reconciliation.standardErrors[index] ?? null;
    return [
      {
        stream: flow.stream.id,
        tag: flow.stream.massFlowTag ?? flow.stream.massTotalTag,
        measuredKgPerH: estimate?.known === true ? estimate.value : null,
        reconciledKgPerH: reconciliation.flows[index] ?? null,
        uncertaintyKgPerH: deviation === null ? null : HALF_95 * deviation,
        isObservable: measuredAt(reconciliation, index) !== null && isObservable(reconciliation, index),
      },
    ];
  });
}
