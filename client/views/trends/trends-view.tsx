import { useCallback, useMemo, useRef, type KeyboardEvent } from 'react';
import { TrendPanes } from '../../charts/trend-panes.tsx';
import { useChartGestures } from '../../charts/use-chart-gestures.ts';
import { useUnitOf } from '../../charts/use-series-facts.ts';
import { useApp } from '../../live/app-context.ts';
import {
  backToLive,
  heldShare,
  moved,
  picked,
  zoomed,
  type TimeWindow,
  type TrendView,
} from '../../live/trend-view.ts';
import type { TrendRequest } from '../../live/trend-source.ts';
import { useTrend } from '../../live/use-trend.ts';
import { useReader } from '../../live/use-live.ts';
import { paneGroups } from './pane-groups.ts';
import { SeriesChooser } from './series-chooser.tsx';
import { TrendToolbar } from './trend-toolbar.tsx';
import { TRACES_MAX, type TrendChoice } from './trend-link.ts';
import { useTrendChoice } from './use-trend-choice.ts';
import './trends-view.css';

/** About one bucket for two pixels of the wall screen. */
const BUCKETS = 800;
const KEY_ZOOM = 1.5;
const KEY_MOVE = 0.1;

/** Any tags and figures over any time, live or past. */
export function TrendsView() {
  const { texts, plant, clock } = useApp();
  const line = plant.lines[0]?.id ?? '';
  const [choice, change] = useTrendChoice();
  const setView = useCallback(
    (next: (view: TrendView, nowMs: number) => TrendView) =>
      change((before) => ({ ...before, view: next(before.view, clock.nowMs()) })),
    [change, clock],
  );
  const trend = useTrend(useTrendRequest(choice));
  const panes = usePanes(choice);
  const room = useRef<HTMLDivElement>(null);
  const gestures = useMemo(
    () => ({
      onZoom: (factor: number, atShare: number) =>
        setView((view, nowMs) => zoomed(view, { factor, atShare, nowMs })),
      onMove: (byShare: number) => setView((view, nowMs) => moved(view, byShare, nowMs)),
    }),
    [setView],
  );
  useChartGestures(room, gestures);
  const onPick = useCallback((window: TimeWindow) => setView(() => picked(window)), [setView]);
  const onToggle = useCallback((id: string) => change((before) => toggled(before, id)), [change]);

  return (
    <div className="trends-view">
      <h1 className="unseen">{texts.trends.title}</h1>
      <TrendToolbar choice={choice} state={trend} setView={setView} change={change} />
      <SeriesChooser chosen={choice.series} onToggle={onToggle} />
      <div
        ref={room}
        className="trends-room"
        role="group"
        tabIndex={0}
        aria-label={texts.trends.title}
        aria-describedby="trends-keys"
        onKeyDown={(event) => onKey(event, setView)}
      >
        {panes.length === 0 ? (
          <p className="trends-empty">{texts.trends.nothing}</p>
        ) : (
          <TrendPanes line={line} panes={panes} state={trend} onPick={onPick} onRemove={onToggle} />
        )}
      </div>
      <p id="trends-keys" className="trends-keys soft">
        {texts.trends.keys} <BushelNote line={line} />
      </p>
    </div>
  );
}

function useTrendRequest({ series, view }: TrendChoice): TrendRequest {
  const { plant } = useApp();
  return useMemo(() => {
    // A link may name what this plant no longer has; the server would refuse the whole question.
    const figures = new Set(plant.figures.map(({ id }) => id));
    const tags = new Set(plant.tags.map(({ id }) => id));
    return {
      figures: series.filter((id) => figures.has(id)),
      tags: series.filter((id) => tags.has(id)),
      view,
      buckets: BUCKETS,
    };
  }, [plant, series, view]);
}

function usePanes({ series, arrangement }: TrendChoice): readonly (readonly string[])[] {
  const unitOf = useUnitOf();
  return useMemo(() => paneGroups(series, arrangement, unitOf), [series, arrangement, unitOf]);
}

function BushelNote({ line }: { readonly line: string }) {
  const { texts, plant } = useApp();
  const { bushelMassKg, units } = useReader(line);
  const crop = plant.crops.find((one) => one.bushelMassKg === bushelMassKg);
  if (crop === undefined || (units.massRate !== 'bu/h' && units.dose !== 'fl oz/bu')) return null;
  return texts.trends.bushel(crop.name);
}

function toggled(choice: TrendChoice, id: string): TrendChoice {
  const has = choice.series.includes(id);
  const series = has
    ? choice.series.filter((one) => one !== id)
    : [...choice.series, id].slice(0, TRACES_MAX);
  return { ...choice, series };
}

type SetView = (next: (view: TrendView, nowMs: number) => TrendView) => void;

function onKey(event: KeyboardEvent<HTMLElement>, setView: SetView): void {
  if (event.target !== event.currentTarget || event.ctrlKey || event.metaKey || event.altKey) return;
  const step = event.shiftKey ? 5 * KEY_MOVE : KEY_MOVE;
  const zoom = (factor: number) =>
    setView((view, nowMs) => zoomed(view, { factor, atShare: heldShare(view), nowMs }));
  const actions: Readonly<Record<string, () => void>> = {
    ArrowLeft: () => setView((view, nowMs) => moved(view, -step, nowMs)),
    ArrowRight: () => setView((view, nowMs) => moved(view, step, nowMs)),
    '+': () => zoom(1 / KEY_ZOOM),
    '=': () => zoom(1 / KEY_ZOOM),
    '-': () => zoom(KEY_ZOOM),
    End: () => setView(backToLive),
  };
  const action = actions[event.key];
  if (action === undefined) return;
  event.preventDefault();
  action();
}
