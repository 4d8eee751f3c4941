import { differenceOfMeans } from '../calc/statistics/difference-of-means.ts';
import { effectiveCount, type EffectiveCount } from '../calc/statistics/effective-count.ts';
import { sumOf } from '../calc/sum-of.ts';
import type { BeforeAfterAnswer, BeforeAfterSeries } from '../contract/stretch-answer.ts';
import type { SampleStore } from '../ports/sample-store.ts';
import type { BeforeAfterRequest } from '../ports/stretch-reports.ts';
import { evenMeans, type EvenMeans } from './even-means.ts';

const CONFIDENCE = 0.95;
const STEP_MS_MIN = 1000;
/** Finding how long values resemble each other costs the square of their count. */
const STEPS_MAX = 1200;
/** With less of it known, a side says nothing about the whole of it. */
const COVERED_MIN = 0.5;

/** How each series stood before and after an instant, and whether the change can be told from chance. */
export async function beforeAfter(
  samples: Pick<SampleStore, 'thinned'>,
  { series, atMs, spanMs, settleMs, nowMs }: BeforeAfterRequest,
  signal: AbortSignal,
): Promise<BeforeAfterAnswer> {
  const startMs = atMs + settleMs;
  const afterMs = Math.max(0, Math.min(spanMs, nowMs - startMs));
  const stepMs = Math.max(STEP_MS_MIN, Math.ceil(spanMs / STEPS_MAX));
  const side = (fromMs: number, toMs: number) =>
    toMs <= fromMs ? Promise.resolve([]) : evenMeans(samples, series, { fromMs, toMs, stepMs, signal });
  const [before, after] = await Promise.all([side(atMs - spanMs, atMs), side(startMs, startMs + afterMs)]);
  return {
    atMs,
    beforeMs: spanMs,
    afterMs,
    settleMs,
    stepMs,
    series: series.map(({ name, unit }, index) => ({
      series: name,
      unit,
      ...compared(before[index], after[index]),
    })),
  };
}

function compared(
  before: EvenMeans | undefined,
  after: EvenMeans | undefined,
): Omit<BeforeAfterSeries, 'series' | 'unit'> {
  const [one, other] = [sideOf(before), sideOf(after)];
  const sides = { before: one?.said ?? null, after: other?.said ?? null };
  if (one === null || other === null) return { ...sides, difference: null, low: null, high: null };
  return { ...sides, ...differenceOfMeans({ before: one.count, after: other.count }, CONFIDENCE) };
}

interface Side {
  readonly count: EffectiveCount;
  readonly said: BeforeAfterSeries['before'];
}

function sideOf(columns: EvenMeans | undefined): Side | null {
  if (columns === undefined) return null;
  const known = columns.mean.filter((value) => value !== null);
  const coveredRatio = sumOf(columns.coveredRatio) / Math.max(1, columns.coveredRatio.length);
  const count = effectiveCount(known);
  if (count === null || coveredRatio < COVERED_MIN) return null;
  const { mean, standardDeviation, effective } = count;
  return {
    count,
    said: {
      mean,
      standardDeviation,
      count: count.count,
      effectiveCount: effective,
      coveredRatio: Math.min(1, coveredRatio),
    },
  };
}
