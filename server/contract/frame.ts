import type { Reading } from './reading.ts';

/**
 * All readings of one tick in source-time order, and the latest of every tag. A frame covers the source
 * times `(endMs - tickMs, endMs]`; live and replay make the same frames from the same readings.
 */
export interface Frame {
  readonly endMs: number;
  readonly tickMs: number;
  readonly readings: readonly Reading[];
  readonly latest: ReadonlyMap<string, Reading>;
}
