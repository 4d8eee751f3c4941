import { cusum, CUSUM_START, type CusumSums } from '../calc/statistics/cusum.ts';
import { ewma, ewmaLimit } from '../calc/statistics/ewma.ts';
import { lagOneAutocorrelation } from '../calc/statistics/lag-one-autocorrelation.ts';
import { summaryOf } from '../calc/statistics/summary-of.ts';
import type { AlarmRule } from '../contract/alarm-rule.ts';

export type DriftRule = Extract<AlarmRule, { kind: 'drift' }>;

/**
 * A control chart of one figure.
 *
 *     learning --learnSamples taken--> watching --lot or setting change--> learning
 *                                      watching --no longer armed--> watching from its center
 */
export type DriftChart = LearningChart | WatchingChart;

interface LearningChart {
  readonly phase: 'learning';
  readonly nextMs: number;
  readonly values: readonly number[];
}

interface WatchingChart {
  readonly phase: 'watching';
  readonly nextMs: number;
  readonly center: number;
  readonly deviation: number;
  /** How much wider an average of values that repeat each other spreads; 1 for independent ones. */
  readonly widening: number;
  readonly count: number;
  readonly average: number;
  readonly sums: CusumSums;
}

export const NEW_CHART: DriftChart = { phase: 'learning', nextMs: -Infinity, values: [] };

/** How far a chart has gone each way, as shares of what it signals at; null while it learns. */
export interface DriftReach {
  readonly up: number;
  readonly down: number;
}

/** The chart after the figure was `value`; between samples it is the same object. */
export function chartAfter(
  chart: DriftChart,
  at: { readonly timeMs: number; readonly value: number; readonly target: number | null },
  rule: DriftRule,
): DriftChart {
  if (at.timeMs < chart.nextMs) return chart;
  const nextMs = at.timeMs + rule.sampleMs;
  if (chart.phase === 'watching') return { ...watched(chart, at.value, rule), nextMs };
  const values = [...chart.values, at.value];
  if (values.length < rule.learnSamples) return { phase: 'learning', nextMs, values };
  return learned(values, { nextMs, target: at.target }, rule);
}

/**
 * The chart when the line stops being watched. The last samples before a stop already show machines running down;
 * they must not be the first that is believed after the start.
 */
export function chartAtRest(chart: DriftChart): DriftChart {
  if (chart.phase === 'learning') return chart;
  return { ...chart, count: 0, average: chart.center, sums: CUSUM_START };
}

/** A chart signals when it reaches more than 1. */
export function driftReach(chart: DriftChart, rule: DriftRule): DriftReach | null {
  if (chart.phase === 'learning') return null;
  if (rule.chart.kind === 'cusum') {
    const { decision } = rule.chart;
    return { up: chart.sums.high / decision, down: chart.sums.low / decision };
  }
  const { weight, width } = rule.chart;
  const limit = ewmaLimit({ weight, width, deviation: chart.deviation }, Infinity) * chart.widening;
  const reach = (chart.average - chart.center) / limit;
  return { up: Math.max(0, reach), down: Math.max(0, -reach) };
}

/**
 * The spread of the samples, and what their likeness to their neighbours adds to an average of them.
 *
 *     widening^2 = (1 + q) / (1 - q),  q = (1 - weight) * r,  r = lag-one autocorrelation, at least 0
 *
 * Source   dimensional identity: variance of an EWMA of a first-order autoregressive series, by hand from
 *          sum over j, k of weight^2 (1 - weight)^(j + k) r^|j - k|
 */
function learned(
  values: readonly number[],
  at: { readonly nextMs: number; readonly target: number | null },
  rule: DriftRule,
): DriftChart {
  const { mean, standardDeviation } = summaryOf(values);
  const center = rule.center === 'target' ? at.target : mean;
  // Without a target there is nothing to drift from; the chart waits for one.
  if (center === null) return { phase: 'learning', nextMs: at.nextMs, values: values.slice(1) };
  const likeness = Math.max(0, lagOneAutocorrelation(values) ?? 0);
  const repeated = rule.chart.kind === 'ewma' ? (1 - rule.chart.weight) * likeness : 0;
  return {
    phase: 'watching',
    nextMs: at.nextMs,
    center,
    deviation: Math.max(standardDeviation, rule.deviationMin),
    widening: Math.sqrt((1 + repeated) / (1 - repeated)),
    count: 0,
    average: center,
    sums: CUSUM_START,
  };
}

function watched(chart: WatchingChart, value: number, rule: DriftRule): WatchingChart {
  const count = chart.count + 1;
  if (rule.chart.kind === 'ewma') {
    return { ...chart, count, average: ewma(chart.average, value, rule.chart.weight) };
  }
  const { allowance, decision } = rule.chart;
  const { high, low } = cusum(chart.sums, (value - chart.center) / chart.deviation, {
    target: 0,
    allowance,
    decision,
  });
  // A chart that has signalled need not be let down for hours once the figure is back.
  const bound = (sum: number) => Math.min(sum, 2 * decision);
  return { ...chart, count, sums: { high: bound(high), low: bound(low) } };
}
