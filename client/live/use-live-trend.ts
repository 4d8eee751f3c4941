import { useEffect, useMemo } from 'react';
import { useApp } from './app-context.ts';
import { liveTrend, type LiveTrendRequest, type TrendState } from './live-trend.ts';
import { useStore } from './use-live.ts';

/** A live trend for as long as the part is on the screen. The request must be the same object while it means the same. */
export function useLiveTrend(request: LiveTrendRequest): TrendState {
  const { stores, connection, clock } = useApp();
  const trend = useMemo(
    () => liveTrend({ stores, connection, clock }, request),
    [stores, connection, clock, request],
  );
  useEffect(() => trend.start(), [trend]);
  return useStore(trend.state);
}
