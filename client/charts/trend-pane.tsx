import { useCallback, useMemo } from 'react';
import type { Band } from '../../server/contract/figure-message.ts';
import { readerScale } from '../../server/contract/format/reader-quantity.ts';
import { mostUrgentAbout } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import type { SnapshotStore } from '../live/snapshot-store.ts';
import { EMPTY_COLUMNS } from '../live/trend-columns.ts';
import { useFigure, useReader, useStore, useTimeReader } from '../live/use-live.ts';
import { axisText } from './axis-text.ts';
import type { ChartFeed } from './chart-feed.ts';
import { PanePlot } from './pane-plot.tsx';
import type { PaneData } from './pane-data.ts';
import type { PaneSetup } from './pane.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { traceStyle } from './trace-style.ts';
import { TraceHead } from './trace-head.tsx';
import { useInterpolationOf, useUnitOf } from './use-series-facts.ts';

export interface TrendPaneProps {
  readonly line: string;
  readonly series: readonly string[];
  readonly feed: ChartFeed;
  readonly cursor: SnapshotStore<number | null>;
  readonly syncKey: string;
  readonly hasTimeAxis: boolean;
  readonly onPick: ((window: TimeWindow) => void) | undefined;
  readonly onRemove: ((id: string) => void) | undefined;
}

/** One pane: on the left what each trace is and reads, on the right its course. */
export function TrendPane(props: TrendPaneProps) {
  const { line, series, feed, cursor, onRemove } = props;
  const setup = usePaneSetup(props);
  const dataOf = usePaneData(props);
  return (
    <div className={setup.isContact ? 'pane pane-contact' : 'pane'}>
      <ul className="pane-heads">
        {series.map((id, index) => (
          <TraceHead
            key={id}
            id={id}
            line={line}
            style={traceStyle(index)}
            isAlone={series.length === 1}
            feed={feed}
            cursor={cursor}
            onRemove={onRemove}
          />
        ))}
      </ul>
      <PanePlot setup={setup} feed={feed} dataOf={dataOf} />
    </div>
  );
}

function usePaneSetup({ line, series, cursor, syncKey, hasTimeAxis, onPick }: TrendPaneProps): PaneSetup {
  const reader = useReader(line);
  const time = useTimeReader();
  const unit = useUnitOf()(series[0] ?? '');
  const interpolationOf = useInterpolationOf();
  return useMemo(() => {
    const { factor, offset } = readerScale(unit, reader);
    return {
      styles: series.map((_, index) => traceStyle(index)),
      isStep: series.map((id) => interpolationOf(id) === 'step'),
      isContact: unit === 'state',
      hasTimeAxis,
      time,
      scale: { factor, offset },
      axisText: axisText(unit, reader),
      syncKey,
      onCursor: (timeMs) => cursor.set(timeMs),
      onPick,
    };
  }, [series, unit, interpolationOf, reader, hasTimeAxis, time, syncKey, cursor, onPick]);
}

function usePaneData({ series }: TrendPaneProps): (feed: ChartFeed) => PaneData {
  const { stores } = useApp();
  const alarms = useStore(stores.alarms);
  const band = useSteadyBand(series.length === 1 ? (series[0] ?? null) : null);
  const bands = useMemo(() => [band], [band]);
  return useCallback(
    (feed) => {
      const { fromMs, toMs, columns } = feed.state.get();
      const { under, underShiftMs, selection, lines } = feed.extras.get();
      const traces = series.map((id) => ({
        columns: columns.get(id) ?? EMPTY_COLUMNS,
        under: under.get(id) ?? null,
        colour: mostUrgentAbout(alarms, [id])?.priority ?? 'ink',
      }));
      return { window: { fromMs, toMs }, traces, bands, underShiftMs, selection, lines };
    },
    [series, bands, alarms],
  );
}

/** Each message brings its own copy of the band; the chart is drawn anew only when an edge has moved. */
function useSteadyBand(id: string | null): Band | null {
  const band = useFigure(id)?.band ?? null;
  const [low, high, target] = [band?.low ?? null, band?.high ?? null, band?.target ?? null];
  return useMemo(() => ({ low, high, target }), [low, high, target]);
}
