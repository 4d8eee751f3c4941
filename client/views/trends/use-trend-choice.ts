import { useCallback, useMemo } from 'react';
import { useSearchParams } from 'wouter';
import { useApp } from '../../live/app-context.ts';
import { keyFigures, trendFigures } from '../line/key-figures.ts';
import { choiceFrom, queryOf, type TrendChoice } from './trend-link.ts';

/** What is shown, kept in the address. Before anything was chosen: the line's key figures. */
export function useTrendChoice(): readonly [
  TrendChoice,
  (change: (before: TrendChoice) => TrendChoice) => void,
] {
  const { plant } = useApp();
  const [query, setQuery] = useSearchParams();
  const asked = query.toString();
  const first = useMemo(() => trendFigures(keyFigures(plant.figures, plant.lines[0]?.id ?? '')), [plant]);
  const withFirst = useCallback(
    (found: URLSearchParams): TrendChoice => {
      const { isChosen, ...choice } = choiceFrom(found);
      return isChosen ? choice : { ...choice, series: first };
    },
    [first],
  );
  const choice = useMemo(() => withFirst(new URLSearchParams(asked)), [asked, withFirst]);
  const change = useCallback(
    (next: (before: TrendChoice) => TrendChoice) =>
      setQuery((before) => queryOf(next(withFirst(before))), { replace: true }),
    [setQuery, withFirst],
  );
  return [choice, change];
}
