import type { ThinnedSeries } from '#server/contract/history-answer.ts';
import type { UnitCode } from '#server/contract/unit-code.ts';

/** A value at an instant, or null where there is none. The same question has the same answer, live and past. */
export type Signal = (timeMs: number) => number | null;

export interface SignalShape {
  readonly seed: number;
  readonly usual: number;
  /** Share of the usual value by which it wanders. */
  readonly wander: number;
}

const WAVES = [
  { periodMs: 1_700_000, share: 0.4 },
  { periodMs: 311_000, share: 0.25 },
  { periodMs: 47_000, share: 0.15 },
];
const NOISE_SHARE = 0.2;
const NOISE_STEP_MS = 1000;

/** A wandering signal that is a pure function of time, so that history and live agree without a store. */
export function wanderingSignal({ seed, usual, wander }: SignalShape): Signal {
  const phases = WAVES.map((_, index) => chance(seed, index) * 2 * Math.PI);
  return (timeMs) => {
    let sum = (chance(seed, Math.floor(timeMs / NOISE_STEP_MS)) * 2 - 1) * NOISE_SHARE;
    for (const [index, { periodMs, share }] of WAVES.entries()) {
      sum += Math.sin((timeMs / periodMs) * 2 * Math.PI + (phases[index] ?? 0)) * share;
    }
    return usual * (1 + wander * sum);
  };
}

export interface ThinnedQuestion {
  readonly series: string;
  readonly unit: UnitCode;
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

const SAMPLES_PER_BUCKET = 5;

/** The signal in buckets, as the history would answer. */
export function thinnedSignal(signal: Signal, question: ThinnedQuestion): ThinnedSeries {
  const { series, unit, fromMs, toMs, buckets } = question;
  const bucketMs = Math.max(250, (toMs - fromMs) / buckets);
  const answer: ThinnedSeries = {
    series,
    unit,
    interpolation: unit === 'state' ? 'step' : 'linear',
    timeMs: [],
    first: [],
    last: [],
    min: [],
    max: [],
    mean: [],
    count: [],
    coveredRatio: [],
    uncertainRatio: [],
  };
  for (let startMs = fromMs; startMs < toMs; startMs += bucketMs)
    addBucket(answer, signal, [startMs, bucketMs]);
  return answer;
}

function addBucket(
  answer: ThinnedSeries,
  signal: Signal,
  [startMs, bucketMs]: readonly [number, number],
): void {
  const known: number[] = [];
  for (let sample = 0; sample < SAMPLES_PER_BUCKET; sample++) {
    const value = signal(startMs + (sample / SAMPLES_PER_BUCKET) * bucketMs);
    if (value !== null) known.push(value);
  }
  answer.timeMs.push(startMs);
  answer.first.push(known[0] ?? null);
  answer.last.push(known.at(-1) ?? null);
  answer.min.push(known.length === 0 ? null : Math.min(...known));
  answer.max.push(known.length === 0 ? null : Math.max(...known));
  answer.mean.push(known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length);
  answer.count.push(known.length);
  answer.coveredRatio.push(known.length / SAMPLES_PER_BUCKET);
  answer.uncertainRatio.push(0);
}

/** A number from 0 to 1 that depends on nothing but its arguments. */
function chance(seed: number, index: number): number {
  let mixed = Math.imul(seed ^ Math.imul(index | 0, 0x9e37_79b1), 0x85eb_ca6b);
  mixed ^= mixed >>> 15;
  mixed = Math.imul(mixed, 0xc2b2_ae35);
  mixed ^= mixed >>> 13;
  return (mixed >>> 0) / 2 ** 32;
}
