import { medianOf } from '../calc/statistics/median-of.ts';
import type { StartUp } from '../contract/machine-standing.ts';
import type { TimeRange } from '../ports/record-store.ts';
import type { SampleStore, SeriesId } from '../ports/sample-store.ts';

/** Enough for the run-up of a heavy fan. */
const SHOWN_MS = 30_000;
/** What the current settles to is read from here on. */
const SETTLED_MS = 20_000;
const NEAR_SETTLED = 0.1;
const STARTS_MAX = 12;

export interface StartedMotor {
  readonly running: SeriesId;
  readonly current: SeriesId;
}

/** The newest start-ups of a motor in a time, each with its current over the first half minute. */
export async function startUps(
  samples: SampleStore,
  motor: StartedMotor,
  at: TimeRange & { readonly signal: AbortSignal },
): Promise<StartUp[]> {
  const starts = (await startsIn(samples, motor.running, at)).slice(-STARTS_MAX);
  const shown: StartUp[] = [];
  for (const startedMs of starts) {
    const range = { series: [motor.current], fromMs: startedMs, toMs: startedMs + SHOWN_MS };
    const [afterMs, currentA]: [number[], number[]] = [[], []];
    for await (const { timeMs, value } of samples.raw(range, at.signal)) {
      for (const [index, time] of timeMs.entries()) {
        const amperes = value[index] ?? NaN;
        if (Number.isNaN(amperes)) continue;
        afterMs.push(time - startedMs);
        currentA.push(amperes);
      }
    }
    shown.push(startUpOf(startedMs, afterMs, currentA));
  }
  return shown.reverse();
}

/** Peak and run-up time of one start. */
export function startUpOf(startedMs: number, afterMs: number[], currentA: number[]): StartUp {
  const late = currentA.filter((_, index) => (afterMs[index] ?? 0) >= SETTLED_MS);
  const settled = late.length === 0 ? null : medianOf(late);
  const farLast =
    settled === null ? -1 : currentA.findLastIndex((value) => value > settled * (1 + NEAR_SETTLED));
  const isRunUp = settled !== null && farLast >= 0 && farLast + 1 < afterMs.length;
  return {
    startedMs,
    afterMs,
    currentA,
    peakA: currentA.length === 0 ? null : Math.max(...currentA),
    runUpMs: isRunUp ? (afterMs[farLast + 1] ?? null) : null,
  };
}

async function startsIn(
  samples: SampleStore,
  running: SeriesId,
  { fromMs, toMs, signal }: TimeRange & { readonly signal: AbortSignal },
): Promise<readonly number[]> {
  const starts: number[] = [];
  let before: number | null = null;
  for await (const { timeMs, value } of samples.raw({ series: [running], fromMs, toMs }, signal)) {
    for (const [index, time] of timeMs.entries()) {
      const now = value[index] ?? NaN;
      if (before === 0 && now === 1) starts.push(time);
      before = now;
    }
  }
  return starts;
}
