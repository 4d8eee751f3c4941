import type { FigureMessage } from '../contract/figure-message.ts';
import { STORED_REASON, STORED_STATUS, storedReason, storedStatus } from '../contract/stored-status.ts';
import type { SeriesId } from '../ports/sample-store.ts';
import type { QueuedSample } from './sample-queue.ts';

export function sampleOfFigure(series: SeriesId, figure: FigureMessage): QueuedSample {
  return {
    series,
    timeMs: figure.timeMs,
    value: figure.value,
    status: storedStatus(figure.quality),
    reason: figure.because === null ? STORED_REASON.none : storedReason(figure.because),
  };
}

/** From here on nothing is known of the series, until its next sample. */
export function gapMarker(series: SeriesId, timeMs: number): QueuedSample {
  return { series, timeMs, value: null, status: STORED_STATUS.gap, reason: STORED_REASON.linkDown };
}
