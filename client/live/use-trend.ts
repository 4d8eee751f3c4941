import { useEffect, useState } from 'react';
import { useApp } from './app-context.ts';
import { trendSource, type TrendRequest, type TrendSource } from './trend-source.ts';

/**
 * A trend for as long as the part is on the screen. The request must be the same object while it means the same.
 * What is drawn is in `state`, a store: a chart that moves sixty times a second must not re-render the page each time.
 */
export function useTrend(request: TrendRequest): TrendSource {
  const { stores, connection, clock } = useApp();
  const [source] = useState(() => trendSource({ stores, connection, clock }));
  useEffect(() => source.start(), [source]);
  useEffect(() => source.ask(request), [source, request]);
  return source;
}
