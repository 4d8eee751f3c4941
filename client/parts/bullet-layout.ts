import type { Band } from '../../server/contract/figure-message.ts';

/** Places on the track, 0 to 1. */
export interface BulletLayout {
  readonly bandStart: number;
  readonly bandEnd: number;
  readonly mark: number;
  /** The value lies outside of what the track shows, on this side; the mark then stands at the end as a wedge. */
  readonly beyond: 'low' | 'high' | 'not';
}

/** The track shows the band and this much of its width on each side. */
const MARGIN_OF_BAND = 0.75;

/** Where band and mark stand; null without a band that is closed on at least one side. */
export function bulletLayout(value: number, band: Band): BulletLayout | null {
  const high =
    band.high ??
    (band.low === null ? null : band.low + 2 * Math.abs(band.low - (band.target ?? 0) || band.low));
  if (high === null) return null;
  const low = band.low ?? Math.min(0, high);
  const width = high - low;
  if (width <= 0) return null;
  const start = low - width * MARGIN_OF_BAND;
  const length = width * (1 + 2 * MARGIN_OF_BAND);
  const place = (value - start) / length;
  return {
    bandStart: (low - start) / length,
    bandEnd: band.high === null ? 1 : (high - start) / length,
    mark: Math.min(1, Math.max(0, place)),
    beyond: place < 0 ? 'low' : place > 1 ? 'high' : 'not',
  };
}
