import { useCallback, useEffect, useMemo, useState } from 'react';
import type { ChartFeed } from '../../charts/chart-feed.ts';
import { useUnitOf } from '../../charts/use-series-facts.ts';
import { useApp } from '../../live/app-context.ts';
import { snapshotStore, type SnapshotStore } from '../../live/snapshot-store.ts';
import type { TrendRequest, TrendSource } from '../../live/trend-source.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import { useTrend } from '../../live/use-trend.ts';
import { paneGroups } from './pane-groups.ts';
import { eventsOf, segmentsOf, type TimeEvent, type TimeSegment } from './time-events.ts';
import { TRACES_MAX } from './trend-link.ts';
import { useChartExtras } from './use-chart-extras.ts';
import { useTimeRecords } from './use-time-records.ts';
import { useTrendDesk, type TrendDesk, type TrendLook } from './use-trend-desk.ts';

/** About one bucket for two pixels of the wall screen. */
const BUCKETS = 800;

/** All that the parts of the Trends view share. */
export interface TrendsScreen {
  readonly line: string;
  readonly desk: TrendDesk;
  /** What is chosen and known to this plant. */
  readonly series: readonly string[];
  readonly panes: readonly (readonly string[])[];
  readonly state: TrendSource['state'];
  readonly feed: ChartFeed;
  readonly events: readonly TimeEvent[];
  readonly segments: readonly TimeSegment[];
  /** Reads again what was written down, as after a mark. */
  readonly again: () => void;
  /** The events that were pressed, to be told about. */
  readonly opened: readonly TimeEvent[];
  readonly open: (events: readonly TimeEvent[]) => void;
  readonly cursor: SnapshotStore<number | null>;
  /** Where the cursor stood last: to press a button, it has to leave the chart. */
  readonly pointed: SnapshotStore<number | null>;
  readonly measure: (stretch: TimeWindow | null) => void;
  readonly toggleMeasure: () => void;
  readonly onToggle: (id: string) => void;
}

export function useTrendsScreen(): TrendsScreen {
  const { plant } = useApp();
  const line = plant.lines[0]?.id ?? '';
  const desk = useTrendDesk();
  const { look, change } = desk;
  const series = useKnownSeries(look.series);
  const { state } = useTrendOf(series, desk);
  const { records, again } = useTimeRecords(state);
  const events = useMemo(() => eventsOf(records, line), [records, line]);
  const segments = useMemo(() => segmentsOf(records, line), [records, line]);
  const extras = useChartExtras({ series, window: state, look, events, segments });
  const feed = useMemo(() => ({ state, extras }), [state, extras]);
  const [opened, open] = useState<readonly TimeEvent[]>([]);
  const [cursor] = useState(() => snapshotStore<number | null>(null));
  const [pointed] = useState(() => lastOf(cursor));
  const measure = useCallback(
    (stretch: TimeWindow | null) => {
      if (stretch !== null) open([]);
      change((before) => ({ ...before, measure: stretch }));
    },
    [change],
  );
  const onToggle = useCallback((id: string) => change((before) => toggled(before, id)), [change]);
  return {
    ...{ line, desk, series, panes: usePanes(series, look) },
    ...{ state, feed, events, segments, again, opened, open, cursor, pointed, measure, onToggle },
    toggleMeasure: () => measure(look.measure === null ? middleOf(state.get()) : null),
  };
}

/** A link may name what this plant no longer has; the server would refuse the whole question. */
function useKnownSeries(series: readonly string[]): readonly string[] {
  const { plant } = useApp();
  return useMemo(() => {
    const known = new Set([...plant.figures, ...plant.tags].map(({ id }) => id));
    return series.filter((id) => known.has(id));
  }, [plant, series]);
}

/** Asked anew for other series; for another stretch of time the same source looks elsewhere. */
function useTrendOf(series: readonly string[], { view }: TrendDesk): TrendSource {
  const { plant } = useApp();
  const request = useMemo((): TrendRequest => {
    const figures = new Set(plant.figures.map(({ id }) => id));
    return {
      figures: series.filter((id) => figures.has(id)),
      tags: series.filter((id) => !figures.has(id)),
      view: view.get(),
      buckets: BUCKETS,
    };
  }, [plant, series, view]);
  const source = useTrend(request);
  useEffect(() => view.subscribe(() => source.look(view.get())), [source, view]);
  return source;
}

function usePanes(series: readonly string[], { arrangement }: TrendLook): readonly (readonly string[])[] {
  const unitOf = useUnitOf();
  return useMemo(() => paneGroups(series, arrangement, unitOf), [series, arrangement, unitOf]);
}

function toggled(look: TrendLook, id: string): TrendLook {
  const has = look.series.includes(id);
  const series = has ? look.series.filter((one) => one !== id) : [...look.series, id].slice(0, TRACES_MAX);
  return { ...look, series };
}

function lastOf(cursor: SnapshotStore<number | null>): SnapshotStore<number | null> {
  const last = snapshotStore<number | null>(null);
  cursor.subscribe(() => {
    const at = cursor.get();
    if (at !== null) last.set(at);
  });
  return last;
}

/** The middle half, to be moved from there. */
function middleOf({ fromMs, toMs }: TimeWindow): TimeWindow {
  const quarter = (toMs - fromMs) / 4;
  return { fromMs: Math.round(fromMs + quarter), toMs: Math.round(toMs - quarter) };
}
