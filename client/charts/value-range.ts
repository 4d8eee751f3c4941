import type { Band } from '../../server/contract/figure-message.ts';
import type { TrendColumns } from '../live/trend-columns.ts';

/** Without a band, at least this share of the value fills the height, or noise looks like an event. */
const SPREAD_SHARE_MIN = 0.04;
const MARGIN_SHARE = 0.08;

/** Lowest and highest value of a pane: all that is drawn, and the bands, with a margin. */
export function valueRange(
  traces: readonly TrendColumns[],
  bands: readonly (Band | null)[],
): readonly [number, number] {
  const columns = [...traces.flatMap(({ min, max }) => [min, max]), bands.flatMap(edgesOf)];
  const [low, high] = extremes(columns);
  if (low > high) return [0, 1];
  const least = Math.max(Math.abs(low), Math.abs(high)) * SPREAD_SHARE_MIN || 1;
  const missing = Math.max(0, least - (high - low)) / 2;
  const margin = (high - low + 2 * missing) * MARGIN_SHARE;
  return [low - missing - margin, high + missing + margin];
}

function edgesOf(band: Band | null): readonly (number | null)[] {
  return band === null ? [] : [band.low, band.high, band.target];
}

/** A loop, because thousands of buckets are more arguments than `Math.min` takes. */
function extremes(columns: readonly (readonly (number | null)[])[]): readonly [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const column of columns) {
    for (const value of column) {
      if (value === null) continue;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  return [low, high];
}
