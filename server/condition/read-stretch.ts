import type { RecordStore } from '../ports/record-store.ts';
import type { SampleStore, SeriesId } from '../ports/sample-store.ts';
import { GLIMPSE_MS, type RecordedStretch, type RecordedTag, type SetFor } from './recorded-stretch.ts';

export interface HistorySource {
  readonly samples: SampleStore;
  readonly records: RecordStore;
  readonly seriesOf: (tag: string) => SeriesId | undefined;
  /** What a line is taken to run while no lot is running. */
  readonly defaultGroup: ReadonlyMap<string, string>;
}

/** What history holds of these tags over one stretch. */
export async function readStretch(
  source: HistorySource,
  tags: readonly string[],
  at: { readonly fromMs: number; readonly toMs: number; readonly signal: AbortSignal },
): Promise<RecordedStretch> {
  const { fromMs, toMs, signal } = at;
  const named = new Map(
    tags.flatMap((tag) => {
      const series = source.seriesOf(tag);
      return series === undefined ? [] : [[series, tag] as const];
    }),
  );
  const columns = new Map<string, RecordedTag>();
  const buckets = Math.max(1, Math.round((toMs - fromMs) / GLIMPSE_MS));
  const request = { series: [...named.keys()], fromMs, toMs, buckets };
  for await (const { series, timeMs, mean, coveredRatio } of source.samples.thinned(request, signal)) {
    columns.set(named.get(series) ?? '', { timeMs, mean, coveredRatio });
  }
  return { fromMs, toMs, tags: columns, settings: await settingsOf(source, fromMs, toMs) };
}

async function settingsOf(
  { records, defaultGroup }: HistorySource,
  fromMs: number,
  toMs: number,
): Promise<RecordedStretch['settings']> {
  const lots = await records.lots({ fromMs, toMs });
  return new Map(
    [...defaultGroup].map(([line, group]) => {
      const own = lots.filter((lot) => lot.line === line);
      const changes = own.flatMap(({ crop, startedMs, endedMs }): readonly SetFor[] => [
        { fromMs: startedMs, group: crop },
        ...(endedMs === null ? [] : [{ fromMs: endedMs, group }]),
      ]);
      return [line, [{ fromMs: -Infinity, group }, ...changes]] as const;
    }),
  );
}
