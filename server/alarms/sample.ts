import type { Band, FigureMessage } from '../contract/figure-message.ts';
import type { Reading } from '../contract/reading.ts';
import type { UnknownReason } from '../calc/unknown-reason.ts';

/** What a tag or figure says at one instant: a number, or why there is none. */
export interface Sample {
  readonly timeMs: number;
  readonly value: number | null;
  readonly because: UnknownReason | null;
  readonly band: Band | null;
}

/** Uncertain readings count: OPC UA calls a value uncertain when it is less accurate than usual, not wrong. */
export function sampleOfReading(reading: Reading): Sample {
  const { sourceTimeMs: timeMs, value, quality } = reading;
  if (quality === 'stale') return { timeMs, value: null, because: 'tag-stale', band: null };
  if (quality === 'bad' || value === null) return { timeMs, value: null, because: 'tag-bad', band: null };
  return { timeMs, value, because: null, band: null };
}

/** A figure is known at the end of its tick. */
export function sampleOfFigure(figure: FigureMessage, endMs: number): Sample {
  return { timeMs: endMs, value: figure.value, because: figure.because, band: figure.band };
}
