import { useEffect, useState } from 'react';
import { useApp } from './app-context.ts';
import { trendSource, type TrendRequest, type TrendState } from './trend-source.ts';
import { useStore } from './use-live.ts';

/** A trend for as long as the part is on the screen. The request must be the same object while it means the same. */
export function useTrend(request: TrendRequest): TrendState {
  const { stores, connection, clock } = useApp();
  const [source] = useState(() => trendSource({ stores, connection, clock }));
  useEffect(() => source.start(), [source]);
  useEffect(() => source.ask(request), [source, request]);
  return useStore(source.state);
}
