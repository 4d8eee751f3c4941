import type { ThinnedAnswer, ThinnedSeries } from '../../contract/history-answer.ts';
import type { SampleStore, SeriesId, ThinnedColumns } from '../../ports/sample-store.ts';
import type { NamedSeries } from './known-series.ts';
import { nullableColumn, numberColumn } from './number-columns.ts';
import { inItsUnit, namedInAnswer } from './one-unit.ts';

export interface ThinnedQuestion {
  readonly series: readonly NamedSeries[];
  readonly fromMs: number;
  readonly toMs: number;
  readonly buckets: number;
}

/** Several series thinned to about so many buckets each. From and to are those of the buckets, not those asked for. */
export async function thinnedAnswer(
  samples: SampleStore,
  question: ThinnedQuestion,
  signal: AbortSignal,
): Promise<ThinnedAnswer> {
  const request = { ...question, series: question.series.map(({ series }) => series) };
  const pieces: ThinnedColumns[] = [];
  for await (const piece of samples.thinned(request, signal)) pieces.push(piece);

  const bySeries: ReadonlyMap<SeriesId, readonly ThinnedColumns[]> = Map.groupBy(
    pieces,
    ({ series }) => series,
  );
  const starts = pieces.flatMap(({ timeMs }) => Array.from(timeMs.subarray(0, 1)));
  return {
    fromMs: starts.length === 0 ? question.fromMs : Math.min(...starts),
    toMs: pieces.length === 0 ? question.toMs : Math.max(...pieces.map(({ endMs }) => endMs)),
    series: question.series.map((named) => thinnedSeries(named, bySeries.get(named.series) ?? [])),
  };
}

function thinnedSeries(named: NamedSeries, pieces: readonly ThinnedColumns[]): ThinnedSeries {
  const timeMs = numberColumn(pieces.map((piece) => piece.timeMs));
  const column = (key: 'first' | 'last' | 'min' | 'max' | 'mean') =>
    inItsUnit(named, timeMs, { column: nullableColumn(pieces.map((piece) => piece[key])), else: null });
  const shares = (key: 'coveredRatio' | 'uncertainRatio') =>
    inItsUnit(named, timeMs, { column: numberColumn(pieces.map((piece) => piece[key])), else: 0 });
  return {
    ...namedInAnswer(named),
    timeMs,
    first: column('first'),
    last: column('last'),
    min: column('min'),
    max: column('max'),
    mean: column('mean'),
    count: numberColumn(pieces.map(({ count }) => count)),
    coveredRatio: shares('coveredRatio'),
    uncertainRatio: shares('uncertainRatio'),
  };
}
