import type { Band } from '../../server/contract/figure-message.ts';
import type { TrendColumns } from '../live/trend-columns.ts';

export interface SparklinePath {
  /** Empty where nothing is known; a gap lifts the pen. */
  readonly path: string;
  readonly bandTop: number | null;
  readonly bandBottom: number | null;
}

export interface SparklineBox {
  readonly width: number;
  readonly height: number;
}

const POINTS_MAX = 90;
const MARGIN_SHARE = 0.12;
/** Without a band, at least this share of the value fills the height, or noise looks like an event. */
const SPREAD_SHARE_MIN = 0.04;

/** The line and the band of a sparkline, scaled so that both are in view. */
export function sparklinePath(columns: TrendColumns, band: Band | null, box: SparklineBox): SparklinePath {
  const edges = band === null ? [] : [band.low, band.high];
  const all = [...columns.mid, ...edges].filter((value) => value !== null);
  if (all.length === 0) return { path: '', bandTop: null, bandBottom: null };
  const [low, high] = spread(Math.min(...all), Math.max(...all));
  const y = (value: number) => box.height * (1 - (value - low) / (high - low));
  const path = pathThrough(columns, box, y);
  if (band === null || (band.low === null && band.high === null))
    return { path, bandTop: null, bandBottom: null };
  return { path, bandTop: y(band.high ?? high), bandBottom: y(band.low ?? low) };
}

function pathThrough(
  { timeMs, mid }: TrendColumns,
  { width }: SparklineBox,
  y: (value: number) => number,
): string {
  const startMs = timeMs[0] ?? 0;
  const lengthMs = Math.max(1, (timeMs.at(-1) ?? 0) - startMs);
  const stride = Math.max(1, Math.ceil(mid.length / POINTS_MAX));
  let path = '';
  let isPenDown = false;
  for (let index = (mid.length - 1) % stride; index < mid.length; index += stride) {
    const value = mid[index] ?? null;
    if (value !== null) {
      const x = (((timeMs[index] ?? startMs) - startMs) / lengthMs) * width;
      path += `${isPenDown ? 'L' : 'M'}${x.toFixed(1)} ${y(value).toFixed(1)}`;
    }
    isPenDown = value !== null;
  }
  return path;
}

function spread(low: number, high: number): readonly [number, number] {
  const least = Math.max(Math.abs(high), Math.abs(low)) * SPREAD_SHARE_MIN || 1;
  const missing = Math.max(0, least - (high - low)) / 2;
  const margin = (high - low + 2 * missing) * MARGIN_SHARE;
  return [low - missing - margin, high + missing + margin];
}
