import type { Band } from '../../server/contract/figure-message.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import type { TimeWindow } from '../live/trend-view.ts';

export interface PaneTrace {
  /** In the stored unit. */
  readonly columns: TrendColumns;
  /** The same trace of another shift or lot, at its own times; null when nothing is laid under. */
  readonly under: TrendColumns | null;
  /** Token of the colour: ink, or the priority of its alarm. */
  readonly colour: string;
}

/** A line through all panes where something on the time axis happened. */
export interface TimeLine {
  readonly timeMs: number;
  readonly kind: 'mark' | 'change';
}

export interface PaneData {
  readonly window: TimeWindow;
  readonly traces: readonly PaneTrace[];
  readonly bands: readonly (Band | null)[];
  /** What is laid under lies this much earlier. */
  readonly underShiftMs: number;
  readonly selection: TimeWindow | null;
  readonly lines: readonly TimeLine[];
}

export const NO_DATA: PaneData = {
  window: { fromMs: 0, toMs: 1 },
  traces: [],
  bands: [],
  underShiftMs: 0,
  selection: null,
  lines: [],
};
