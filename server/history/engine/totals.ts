import type { RangeRequest, SeriesId, WindowTotals } from '../../ports/sample-store.ts';
import type { Samples } from '../samples.ts';
import { HOUR_MS } from './blocks.ts';
import { knownValue } from './known-value.ts';
import { addNeighbour, addRange, expectRange, type Memory } from './queries.ts';
import { ruleAt, segmentRules, type SegmentRule } from './segment-rule.ts';
import { newThinner, type Thinner } from './thinner.ts';

/** Up to here samples are read one by one; beyond, whole hours come from rollups, which gives the same. */
const LONGEST_BY_SAMPLES_MS = 26 * HOUR_MS;

/** Integral and time in state of each series; yields null where it may rest. */
export function* windowTotals(memory: Memory, request: RangeRequest): Generator<WindowTotals | null> {
  expectRange(memory, request);
  for (const series of request.series) {
    const rules = segmentRules(memory.catalogue.definitionsOf(series));
    const isStep = !ruleAt(rules, request.toMs - 1).isLinear;
    const range = { series, fromMs: Math.max(0, request.fromMs), toMs: request.toMs };
    if (isStep) yield* stepTotals(memory, range, rules);
    else yield* linearTotals(memory, range, rules);
  }
}

interface Range {
  readonly series: SeriesId;
  readonly fromMs: number;
  readonly toMs: number;
}

function* linearTotals(
  memory: Memory,
  range: Range,
  rules: readonly SegmentRule[],
): Generator<WindowTotals | null> {
  const thinner = newThinner(range.series, Float64Array.of(range.fromMs, range.toMs), rules);
  addNeighbour(thinner, memory.reader.newestUpTo(range.series, range.fromMs - 1));
  yield* addWindow(memory, thinner, range);
  addNeighbour(thinner, memory.reader.oldestFrom(range.series, range.toMs));
  yield { series: range.series, ...integralOf(thinner, range), timeInState: [] };
}

function* addWindow(memory: Memory, thinner: Thinner, range: Range): Generator<null> {
  const { series, fromMs, toMs } = range;
  if (toMs - fromMs <= LONGEST_BY_SAMPLES_MS) {
    yield* addRange(memory, thinner, { ...range, rollupMs: null });
    return;
  }
  const firstHourMs = Math.ceil(fromMs / HOUR_MS) * HOUR_MS;
  const lastHourMs = Math.floor(toMs / HOUR_MS) * HOUR_MS;
  yield* addRange(memory, thinner, { series, fromMs, toMs: firstHourMs, rollupMs: null });
  yield* addRange(memory, thinner, { series, fromMs: firstHourMs, toMs: lastHourMs, rollupMs: HOUR_MS });
  yield* addRange(memory, thinner, { series, fromMs: lastHourMs, toMs, rollupMs: null });
}

function* stepTotals(
  memory: Memory,
  range: Range,
  rules: readonly SegmentRule[],
): Generator<WindowTotals | null> {
  const thinner = newThinner(range.series, Float64Array.of(range.fromMs, range.toMs), rules);
  const states = newStateTimes(range, rules);
  const add = (samples: Samples | null): void => {
    if (samples === null) return;
    thinner.addSamples(samples);
    states.add(samples);
  };
  add(memory.reader.newestUpTo(range.series, range.fromMs - 1));
  for (const samples of memory.reader.pieces(range.series, range.fromMs, range.toMs)) {
    add(samples);
    yield null;
  }
  yield { series: range.series, ...integralOf(thinner, range), timeInState: states.finish() };
}

function integralOf(
  thinner: Thinner,
  { fromMs, toMs }: Range,
): Pick<WindowTotals, 'integralUnitH' | 'coveredMs'> {
  const { mean, coveredRatio } = thinner.finish();
  const coveredMs = (coveredRatio[0] ?? 0) * (toMs - fromMs);
  return { integralUnitH: ((mean[0] ?? NaN) * coveredMs) / HOUR_MS, coveredMs };
}

interface StateTimes {
  add(samples: Samples): void;
  finish(): WindowTotals['timeInState'];
}

/** Each known value is a state, held until the next sample or as long as its rule lets it. */
function newStateTimes({ fromMs, toMs }: Range, rules: readonly SegmentRule[]): StateTimes {
  const spent = new Map<number, number>();
  let sinceMs = NaN;
  let state = NaN;
  const holdUntil = (timeMs: number): void => {
    if (Number.isNaN(state)) return;
    const rule = ruleAt(rules, sinceMs);
    const endMs = Math.min(timeMs, sinceMs + rule.heldMs, rule.endsMs, toMs);
    const spentMs = endMs - Math.max(sinceMs, fromMs);
    if (spentMs > 0) spent.set(state, (spent.get(state) ?? 0) + spentMs);
  };
  return {
    add(samples) {
      for (let i = 0; i < samples.timeMs.length; i++) {
        const timeMs = samples.timeMs[i] ?? 0;
        holdUntil(timeMs);
        sinceMs = timeMs;
        state = knownValue(samples, i);
      }
    },
    finish() {
      holdUntil(toMs);
      return [...spent].sort(([a], [b]) => a - b).map(([value, spentMs]) => ({ value, spentMs }));
    },
  };
}
