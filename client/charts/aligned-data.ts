import uPlot from 'uplot';
import type { TrendColumns } from '../live/trend-columns.ts';

const MS_PER_S = 1000;

/** The columns of a pane as the chart library wants them: one time column in seconds, then max, min, mid of each trace. */
export function alignedData(traces: readonly TrendColumns[]): uPlot.AlignedData {
  const tables = traces.map(({ timeMs, max, min, mid }): uPlot.AlignedData => [
    timeMs.map((time) => time / MS_PER_S),
    [...max],
    [...min],
    [...mid],
  ]);
  const [only] = tables;
  if (only === undefined) return [[]];
  return tables.length === 1 ? only : uPlot.join(tables);
}
