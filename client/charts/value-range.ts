import type { Band } from '../../server/contract/figure-message.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { spanOf } from './trace-path.ts';

/** Without a band, at least this share of the value fills the height, or noise looks like an event. */
const SPREAD_SHARE_MIN = 0.04;
const MARGIN_SHARE = 0.08;
const ALL_TIME: TimeWindow = { fromMs: -Infinity, toMs: Infinity };

/** Lowest and highest value of a pane: all that is drawn in the window, and the bands, with a margin. */
export function valueRange(
  traces: readonly TrendColumns[],
  bands: readonly (Band | null)[],
  window = ALL_TIME,
): readonly [number, number] {
  const [low, high] = extremes(traces, bands, window);
  if (low > high) return [0, 1];
  const least = Math.max(Math.abs(low), Math.abs(high)) * SPREAD_SHARE_MIN || 1;
  const missing = Math.max(0, least - (high - low)) / 2;
  const margin = (high - low + 2 * missing) * MARGIN_SHARE;
  return [low - missing - margin, high + missing + margin];
}

/** A loop, because thousands of buckets are more arguments than `Math.min` takes. */
function extremes(
  traces: readonly TrendColumns[],
  bands: readonly (Band | null)[],
  window: TimeWindow,
): readonly [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const value of bands.flatMap(edgesOf)) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  for (const columns of traces) {
    const { from, to } = spanOf(columns, window);
    for (let index = from; index <= to; index++) {
      const [least, most] = [columns.min[index] ?? null, columns.max[index] ?? null];
      if (least !== null && least < low) low = least;
      if (most !== null && most > high) high = most;
    }
  }
  return [low, high];
}

function edgesOf(band: Band | null): readonly number[] {
  return band === null ? [] : [band.low, band.high, band.target].filter((edge) => edge !== null);
}
