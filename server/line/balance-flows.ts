import { known } from '../calc/figure.ts';
import { MS_PER_HOUR, MS_PER_MINUTE } from '../calc/units.ts';
import type { BalanceFlow, BalanceNetwork } from './balance-network.ts';
import { derived, unknownEstimate, type Estimate } from './estimate.ts';
import { isBypassed, type LineContext } from './line-context.ts';
import { netLiquidRate } from './moisture-figures.ts';
import { laggedRate, rateOver } from './stream-amounts.ts';

/** Long beside the sizes of bags and the noise of levels, short beside a shift. */
export const BALANCE_WINDOW_MS = 20 * MS_PER_MINUTE;
/** A level is the mean of this long: seed lies uneven and the level swings. */
const LEVEL_OVER_MS = 30_000;

/** All flows of the balance over its window, kg/h, each for the same seed. */
export function balanceFlows(context: LineContext, network: BalanceNetwork): readonly Estimate[] {
  const { seenAt } = network;
  const feed = network.flows[0];
  const feedRate = feed === undefined ? unknownEstimate('not-measured') : flowOf(context, feed, seenAt);
  return network.flows.map((flow) => {
    if (flow.is === 'losses') return lossesOf(context, feedRate);
    if (flow.is === 'liquid') return netLiquidRate(context, seenAt);
    return flow === feed ? feedRate : flowOf(context, flow, seenAt);
  });
}

/**
 * Whether seed ran over all main scales in every minute of the window. After a stop the seed that stood in the machines
 * passes with no constant lag, and the balances of that time say nothing of the scales.
 */
export function hasRunSteadily(context: LineContext, network: BalanceNetwork): boolean {
  const { settings } = context.setup;
  const weighed = network.flows.filter((flow) => flow.is === 'stream' && flow.stream.role === 'main');
  for (let agoMs = 0; agoMs < BALANCE_WINDOW_MS; agoMs += MS_PER_MINUTE) {
    for (const flow of weighed) {
      if (flow.is !== 'stream' || flow.stream.massFlowTag === null) continue;
      const lagMs = lagOf(context, flow.at, network.seenAt);
      const toMs = context.frame.endMs - lagMs - agoMs;
      const span = { known: true, fromMs: toMs - MS_PER_MINUTE, toMs, anchor: null } as const;
      const rate = rateOver(context, { role: 'stream', stream: null, tag: flow.stream.massFlowTag }, span);
      if (!rate.known || rate.value < settings.feedKgPerHFloor) return false;
    }
  }
  return true;
}

function flowOf(context: LineContext, flow: BalanceFlow, seenAt: number): Estimate {
  if (flow.is === 'bin') return binGain(context, flow, seenAt);
  if (flow.is !== 'stream') return unknownEstimate('not-measured');
  const asked = { stream: flow.stream, role: 'stream' } as const;
  return laggedRate(context, asked, { place: { at: flow.at, seenAt }, lengthMs: BALANCE_WINDOW_MS });
}

function lossesOf({ setup }: LineContext, feed: Estimate): Estimate {
  const { ratio, errorRatio } = setup.settings.losses ?? { ratio: 0, errorRatio: 0 };
  if (!feed.known) return feed;
  const half = errorRatio * feed.value;
  return { ...feed, value: ratio * feed.value, causes: [{ cause: 'losses', half }] };
}

/** The change of a bin's contents, kg/h; zero for a bin that seed is led past. */
function binGain(
  context: LineContext,
  { machine, at }: Extract<BalanceFlow, { is: 'bin' }>,
  seenAt: number,
): Estimate {
  const source = { role: 'stream', stream: null, tag: machine.contentsTag ?? null } as const;
  const endMs = context.frame.endMs - Math.max(LEVEL_OVER_MS, lagOf(context, at, seenAt));
  const levels = [endMs, endMs - BALANCE_WINDOW_MS].map((toMs) =>
    rateOver(context, source, { known: true, fromMs: toMs - LEVEL_OVER_MS, toMs, anchor: null }),
  );
  const [after, before] = levels;
  if (isBypassed(context, machine.id)) return { ...NOTHING_GAINED };
  if (after === undefined || before === undefined) return unknownEstimate('not-measured');
  if (!after.known) return after;
  if (!before.known) return before;
  const perHour = MS_PER_HOUR / BALANCE_WINDOW_MS;
  return derived(known((after.value - before.value) * perHour), [
    { of: after, slope: perHour },
    { of: { ...before, causes: before.causes?.map(asEarlier) ?? null }, slope: -perHour },
  ]);
}

const NOTHING_GAINED = { known: true, value: 0, quality: 'good', coveredRatio: 1, causes: [] } as const;

/** Two levels scatter apart from each other, though they have one instrument. */
function asEarlier({ cause, half }: { readonly cause: string; readonly half: number }) {
  return { cause: cause.startsWith('scatter') ? `${cause} earlier` : cause, half };
}

function lagOf({ ways }: LineContext, at: number, seenAt: number): number {
  return (ways[seenAt] ?? 0) - (ways[at] ?? 0);
}
