import type { RawAnswer, RawSeries } from '../../contract/history-answer.ts';
import type { RawColumns, SampleStore } from '../../ports/sample-store.ts';
import type { NamedSeries } from './known-series.ts';
import { nullableColumn, numberColumn } from './number-columns.ts';
import { inItsUnit, namedInAnswer } from './one-unit.ts';

/** In one answer, all series together: some five megabytes of text. */
export const SAMPLES_MAX = 100_000;

export interface RawQuestion {
  readonly series: readonly NamedSeries[];
  readonly fromMs: number;
  readonly toMs: number;
}

/**
 * Every sample of several series, up to a bound. Where one series has more than its share, the answer stops for
 * all of them at the same instant, so that asking on from there misses nothing and repeats nothing.
 */
export async function rawAnswer(
  samples: SampleStore,
  question: RawQuestion,
  signal: AbortSignal,
): Promise<RawAnswer> {
  const share = Math.floor(SAMPLES_MAX / question.series.length);
  const taken: (readonly RawColumns[])[] = [];
  let { toMs } = question;
  for (const { series } of question.series) {
    const range = { series: [series], fromMs: question.fromMs, toMs };
    const pieces: RawColumns[] = [];
    let count = 0;
    for await (const piece of samples.raw(range, signal)) {
      pieces.push(piece);
      count += piece.timeMs.length;
      if (count > share) break;
    }
    taken.push(pieces);
    toMs = Math.min(toMs, timeAt(pieces, share) ?? toMs);
  }
  return {
    fromMs: question.fromMs,
    toMs,
    isCut: toMs < question.toMs,
    series: question.series.map((named, index) => rawSeries(named, (taken[index] ?? []).map(before(toMs)))),
  };
}

/** The time of the sample with this index, counted through all pieces. */
function timeAt(pieces: readonly RawColumns[], index: number): number | undefined {
  let start = 0;
  for (const { timeMs } of pieces) {
    if (index < start + timeMs.length) return timeMs[index - start];
    start += timeMs.length;
  }
  return undefined;
}

function before(toMs: number): (piece: RawColumns) => RawColumns {
  return ({ series, timeMs, value, status, reason }) => {
    const found = timeMs.findIndex((time) => time >= toMs);
    const end = found === -1 ? timeMs.length : found;
    return {
      series,
      timeMs: timeMs.subarray(0, end),
      value: value.subarray(0, end),
      status: status.subarray(0, end),
      reason: reason.subarray(0, end),
    };
  };
}

function rawSeries(named: NamedSeries, pieces: readonly RawColumns[]): RawSeries {
  const timeMs = numberColumn(pieces.map((piece) => piece.timeMs));
  const value = nullableColumn(pieces.map((piece) => piece.value));
  return {
    ...namedInAnswer(named),
    timeMs,
    value: inItsUnit(named, timeMs, { column: value, else: null }),
    status: numberColumn(pieces.map(({ status }) => status)),
    reason: numberColumn(pieces.map(({ reason }) => reason)),
  };
}
