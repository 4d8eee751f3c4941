import type { ValueAtAnswer } from '../../contract/history-answer.ts';
import type { SampleStore } from '../../ports/sample-store.ts';
import type { NamedSeries } from './known-series.ts';

/** How several series stood at one instant; one that had no sample by then is left out. */
export async function valueAtAnswer(
  samples: SampleStore,
  series: readonly NamedSeries[],
  timeMs: number,
): Promise<ValueAtAnswer> {
  const found = await samples.valuesAt(
    series.map((named) => named.series),
    timeMs,
  );
  const bySeries = new Map(found.map((sample) => [sample.series, sample]));
  const values = series.flatMap(({ name, unit, unitFromMs, series: id }) => {
    const sample = bySeries.get(id);
    if (sample === undefined || sample.timeMs < (unitFromMs ?? -Infinity)) return [];
    const { timeMs: sampledMs, value, status, reason } = sample;
    return {
      series: name,
      unit,
      timeMs: sampledMs,
      value: Number.isNaN(value) ? null : value,
      status,
      reason,
    };
  });
  return { timeMs, values };
}
