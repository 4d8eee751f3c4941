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
  let low = Infinity;
  let high = -Infinity;
  const reach = (value: number | null) => {
    if (value === null) return;
    if (value < low) low = value;
    if (value > high) high = value;
  };
  for (const { min, max } of traces) {
    for (const value of min) reach(value);
    for (const value of max) reach(value);
  }
  for (const band of bands) {
    reach(band?.low ?? null);
    reach(band?.high ?? null);
    reach(band?.target ?? null);
  }
  if (low > high) return [0, 1];
  const least = Math.max(Math.abs(low), Math.abs(high)) * SPREAD_SHARE_MIN || 1;
  const missing = Math.max(0, least - (high - low)) / 2;
  const margin = (high - low + 2 * missing) * MARGIN_SHARE;
  return [low - missing - margin, high + missing + margin];
}
