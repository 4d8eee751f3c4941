import { useEffect, useMemo, useState } from 'react';
import { NO_EXTRAS, type ChartExtras } from '../../charts/chart-feed.ts';
import type { TimeLine } from '../../charts/pane-data.ts';
import { snapshotStore, type Followed } from '../../live/snapshot-store.ts';
import type { TimeWindow } from '../../live/trend-view.ts';
import type { TimeEvent, TimeSegment } from './time-events.ts';
import { useUnderlay } from './use-underlay.ts';
import type { TrendLook } from './use-trend-desk.ts';

interface Extras {
  readonly series: readonly string[];
  readonly window: Followed<TimeWindow>;
  readonly look: TrendLook;
  readonly events: readonly TimeEvent[];
  readonly segments: readonly TimeSegment[];
}

/** What panes show beside their traces: another shift or lot laid under, what is measured, lines where something changed. */
export function useChartExtras({ series, window, look, events, segments }: Extras): Followed<ChartExtras> {
  const [store] = useState(() => snapshotStore<ChartExtras>(NO_EXTRAS));
  const underShiftMs = look.under?.shiftMs ?? 0;
  const under = useUnderlay(series, window, underShiftMs);
  const lines = useMemo(() => linesOf(events, segments), [events, segments]);
  const selection = look.measure;
  useEffect(
    () => store.set({ under, underShiftMs, selection, lines }),
    [store, under, underShiftMs, selection, lines],
  );
  return store;
}

function linesOf(events: readonly TimeEvent[], segments: readonly TimeSegment[]): readonly TimeLine[] {
  return [
    ...events.filter(({ kind }) => kind === 'mark').map(({ timeMs }): TimeLine => ({ timeMs, kind: 'mark' })),
    ...segments.map(({ fromMs }): TimeLine => ({ timeMs: fromMs, kind: 'change' })),
  ];
}
