import { useEffect, useState } from 'react';
import { useLocation, useSearch } from 'wouter';
import { useApp } from '../../live/app-context.ts';
import { keyFigures, trendFigures } from '../line/key-figures.ts';
import { choiceFrom, queryOf, type TrendChoice } from './trend-link.ts';

/** Turning a wheel changes the view dozens of times a second; browsers refuse so many changes of the address. */
const ADDRESS_SETTLE_MS = 250;

/** What is shown, written to the address once it rests. Before anything was chosen: the line's key figures. */
export function useTrendChoice(): readonly [
  TrendChoice,
  (change: (before: TrendChoice) => TrendChoice) => void,
] {
  const { plant } = useApp();
  const asked = useSearch();
  const [, navigate] = useLocation();
  const [choice, setChoice] = useState<TrendChoice>(() => {
    const { isChosen, ...found } = choiceFrom(new URLSearchParams(asked));
    const first = trendFigures(keyFigures(plant.figures, plant.lines[0]?.id ?? ''));
    return isChosen ? found : { ...found, series: first };
  });
  useEffect(() => {
    const timer = window.setTimeout(
      () => navigate(`/trends?${queryOf(choice).toString()}`, { replace: true }),
      ADDRESS_SETTLE_MS,
    );
    return () => window.clearTimeout(timer);
  }, [choice, navigate]);
  return [choice, setChoice];
}
