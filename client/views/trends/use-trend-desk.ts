import { useEffect, useMemo, useState } from 'react';
import { useLocation } from 'wouter';
import { useApp } from '../../live/app-context.ts';
import { snapshotStore, type SnapshotStore } from '../../live/snapshot-store.ts';
import type { TrendView } from '../../live/trend-view.ts';
import { keyFigures, trendFigures } from '../line/key-figures.ts';
import { choiceFrom, queryOf, type TrendChoice } from './trend-link.ts';

/** Turning a wheel changes the view dozens of times a second; browsers refuse so many changes of the address. */
const ADDRESS_SETTLE_MS = 250;

/** What is shown beside the stretch of time: it changes by a click, and the page is rendered for it. */
export type TrendLook = Omit<TrendChoice, 'view'>;

export interface TrendDesk {
  readonly look: TrendLook;
  readonly change: (next: (before: TrendLook) => TrendLook) => void;
  /** The stretch of time changes sixty times a second; charts follow the store, the page is not rendered. */
  readonly view: SnapshotStore<TrendView>;
  readonly setView: (next: (view: TrendView, nowMs: number) => TrendView) => void;
  /** Shows something else altogether, as a saved view. */
  readonly show: (choice: TrendChoice) => void;
}

/** What the Trends view shows, written to the address once it rests. Before anything was chosen: the line's key figures. */
export function useTrendDesk(): TrendDesk {
  const { plant, clock } = useApp();
  const [first] = useState((): TrendChoice => {
    const { isChosen, ...found } = choiceFrom(new URLSearchParams(window.location.search));
    const usual = trendFigures(keyFigures(plant.figures, plant.lines[0]?.id ?? ''));
    return isChosen ? found : { ...found, series: usual };
  });
  const [look, change] = useState<TrendLook>(first);
  const [view] = useState(() => snapshotStore(first.view));
  useAddress(look, view);
  return useMemo(
    () => ({
      look,
      change,
      view,
      setView: (next) => view.set(next(view.get(), clock.nowMs())),
      show({ view: shown, ...rest }) {
        view.set(shown);
        change(rest);
      },
    }),
    [look, view, clock],
  );
}

function useAddress(look: TrendLook, view: SnapshotStore<TrendView>): void {
  const [, navigate] = useLocation();
  useEffect(() => {
    let timer: number | undefined;
    const write = () => {
      window.clearTimeout(timer);
      timer = window.setTimeout(() => {
        const query = queryOf({ ...look, view: view.get() });
        navigate(`/trends?${query.toString()}`, { replace: true });
      }, ADDRESS_SETTLE_MS);
    };
    write();
    const stop = view.subscribe(write);
    return () => {
      stop();
      window.clearTimeout(timer);
    };
  }, [look, view, navigate]);
}
