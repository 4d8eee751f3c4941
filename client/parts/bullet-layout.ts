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

/** Where band and mark stand; null where the band has no width to draw. */
export function bulletLayout(value: number, band: Band): BulletLayout | null {
  const edges = closedEdges(band);
  if (edges === null || edges.high <= edges.low) return null;
  const width = edges.high - edges.low;
  const start = edges.low - width * MARGIN_OF_BAND;
  const length = width * (1 + 2 * MARGIN_OF_BAND);
  const place = (value - start) / length;
  return {
    bandStart: band.low === null ? 0 : (edges.low - start) / length,
    bandEnd: band.high === null ? 1 : (edges.high - start) / length,
    mark: Math.min(1, Math.max(0, place)),
    beyond: place < 0 ? 'low' : place > 1 ? 'high' : 'not',
  };
}

/** A side that is open gets an edge to scale by: nothing below, twice the lower edge above. */
function closedEdges({ low, high }: Band): { readonly low: number; readonly high: number } | null {
  if (low !== null && high !== null) return { low, high };
  if (high !== null) return { low: Math.min(0, high), high };
  if (low !== null) return { low, high: low + Math.abs(low) };
  return null;
}
