import { fetchThinned } from './plant-api.ts';
import { columnsFromHistory, type TrendColumns } from './trend-columns.ts';
import type { Stretch } from './trend-stretch.ts';

const SERIES_AT_ONCE = 3;

/**
 * A few series at a time: to read the answer for twelve in one piece holds up a frame, in four pieces none of them does.
 */
export async function fetchColumns(
  series: readonly string[],
  stretch: Stretch,
  signal: AbortSignal,
): Promise<ReadonlyMap<string, TrendColumns>> {
  const starts = series.map((_, index) => index).filter((index) => index % SERIES_AT_ONCE === 0);
  const pieces = await Promise.all(
    starts.map(async (start) => {
      const some = series.slice(start, start + SERIES_AT_ONCE);
      const answer = await fetchThinned({ series: some, ...stretch }, signal);
      return answer.series.map((one) => [one.series, columnsFromHistory(one)] as const);
    }),
  );
  return new Map(pieces.flat());
}
