import type { Followed } from '../live/snapshot-store.ts';
import type { TrendColumns } from '../live/trend-columns.ts';
import type { TrendState } from '../live/trend-source.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import type { TimeLine } from './pane-data.ts';

/** What a chart shows beside the traces. */
export interface ChartExtras {
  /** Traces of another shift or lot, at their own times, by series. */
  readonly under: ReadonlyMap<string, TrendColumns>;
  readonly underShiftMs: number;
  readonly selection: TimeWindow | null;
  readonly lines: readonly TimeLine[];
}

export const NO_EXTRAS: ChartExtras = {
  under: new Map(),
  underShiftMs: 0,
  selection: null,
  lines: [],
};

/**
 * What all panes of a chart follow. They are stores: panes draw when something changes, without the page being
 * rendered for it.
 */
export interface ChartFeed {
  readonly state: Followed<TrendState>;
  readonly extras: Followed<ChartExtras>;
}
