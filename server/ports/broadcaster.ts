import type { FloodStatus } from '../contract/alarm-measures.ts';
import type { AlarmMessage } from '../contract/alarm-message.ts';
import type { FigureMessage } from '../contract/figure-message.ts';
import type { LinkStatus, RecordingStatus } from '../contract/link-status.ts';
import type { Reading } from '../contract/reading.ts';
import type { Lot, Shift } from '../contract/records.ts';

/** One tick's news. Figures and alarms: those that changed. Readings: all that arrived since the last tick. */
export interface LiveUpdate {
  readonly timeMs: number;
  readonly figures: readonly FigureMessage[];
  readonly readings: readonly Reading[];
  readonly alarms: readonly AlarmMessage[];
  readonly links: readonly LinkStatus[];
  /** Null where it did not change. */
  readonly recording: RecordingStatus | null;
  /** Null where it did not change. */
  readonly flood: FloodStatus | null;
  readonly lots: readonly Lot[] | null;
  readonly shifts: readonly Shift[] | null;
}

/**
 * Tells every browser what it watches. Keeps the newest state of all for those who connect later. A slow
 * browser never slows the caller or another browser: its news is coalesced and bounded.
 */
export interface Broadcaster {
  publish(update: LiveUpdate): void;
}
