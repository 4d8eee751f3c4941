import { useMemo } from 'react';
import { Link } from 'wouter';
import type { LineGraph } from '../../../server/contract/line-graph.ts';
import { useApp } from '../../live/app-context.ts';
import { snapshotStore } from '../../live/snapshot-store.ts';
import type { TrendRequest } from '../../live/trend-source.ts';
import { useStore } from '../../live/use-live.ts';
import { useTrend } from '../../live/use-trend.ts';
import { AlarmCountLine, AlarmList } from '../../parts/alarm-list.tsx';
import { NO_EXTRAS } from '../../charts/chart-feed.ts';
import { TrendPanes } from '../../charts/trend-panes.tsx';
import { TrendNote } from '../../parts/trend-note.tsx';
import { DoubtNote } from './doubt-note.tsx';
import { FigureCard } from './figure-card.tsx';
import { keyFigures, trendFigures } from './key-figures.ts';
import { LineNotes } from './line-notes.tsx';
import { lineFigures } from './line-figures.ts';
import { LineRibbon } from './line-ribbon.tsx';
import './line-view.css';

const HALF_HOUR_MS = 1_800_000;
/** About one bucket for two pixels of the wall screen. */
const BUCKETS = 600;

/** The first screen: what flows, what leaves, what the key figures say, what is wrong, and the last half hour. */
export function LineView() {
  const { plant } = useApp();
  const graph = plant.lines[0];
  return graph === undefined ? null : <OneLine graph={graph} />;
}

function OneLine({ graph }: { readonly graph: LineGraph }) {
  const { plant, texts } = useApp();
  const figures = useMemo(() => lineFigures(graph, plant.figures), [graph, plant]);
  const cards = useMemo(() => keyFigures(plant.figures, graph.id), [graph, plant]);
  const lanes = useMemo(() => trendFigures(cards), [cards]);
  const panes = useMemo(() => lanes.map((id) => [id]), [lanes]);
  const request = useMemo(
    (): TrendRequest => ({
      figures: cards.map(({ id }) => id),
      tags: [],
      view: { kind: 'live', spanMs: HALF_HOUR_MS },
      buckets: BUCKETS,
    }),
    [cards],
  );
  const { state } = useTrend(request);
  const trend = useStore(state);
  const feed = useMemo(() => ({ state, extras: snapshotStore(NO_EXTRAS) }), [state]);

  return (
    <div className="line-view">
      <h1 className="unseen">{texts.line.title(graph.name)}</h1>
      <section className="line-ribbon-area" aria-label={texts.line.ribbon}>
        <LineRibbon graph={graph} figures={figures} />
        <LineNotes graph={graph} figures={figures} />
        <DoubtNote line={graph.id} />
      </section>
      <section className="line-cards" aria-label={texts.line.figures}>
        {cards.map((card) => (
          <FigureCard key={card.id} figure={card} columns={trend.columns.get(card.id)} />
        ))}
      </section>
      <section className="line-trend" aria-labelledby="line-trend-title">
        <div className="line-trend-head">
          <h2 id="line-trend-title">{texts.line.lastHalfHour}</h2>
          <TrendNote state={trend} />
          <Link href={`/trends?show=${lanes.join(',')}`}>{texts.line.openTrends}</Link>
        </div>
        <TrendPanes line={graph.id} panes={panes} feed={feed} />
      </section>
      <aside className="line-alarms" aria-labelledby="line-alarms-title">
        <div className="line-alarms-head">
          <h2 id="line-alarms-title">{texts.alarms.title}</h2>
          <AlarmCountLine />
        </div>
        <AlarmList />
      </aside>
    </div>
  );
}
