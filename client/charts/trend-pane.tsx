import { useMemo } from 'react';
import type { Band } from '../../server/contract/figure-message.ts';
import { numberText } from '../../server/contract/format/number-text.ts';
import { quantityText } from '../../server/contract/format/quantity-text.ts';
import { readerScale } from '../../server/contract/format/reader-quantity.ts';
import { mostUrgentAbout } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import type { TrendState } from '../live/trend-source.ts';
import type { SnapshotStore } from '../live/snapshot-store.ts';
import { EMPTY_COLUMNS } from '../live/trend-columns.ts';
import { useFigure, useReader, useStore, useTimeReader } from '../live/use-live.ts';
import { PanePlot } from './pane-plot.tsx';
import type { PaneData, PaneSetup } from './pane.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { readerBand, readerColumns } from './reader-columns.ts';
import { traceStyle } from './trace-style.ts';
import { TraceHead } from './trace-head.tsx';
import { useInterpolationOf, useUnitOf } from './use-series-facts.ts';

export interface TrendPaneProps {
  readonly line: string;
  readonly series: readonly string[];
  readonly state: TrendState;
  readonly cursor: SnapshotStore<number | null>;
  readonly syncKey: string;
  readonly hasTimeAxis: boolean;
  readonly onPick: ((window: TimeWindow) => void) | undefined;
  readonly onRemove: ((id: string) => void) | undefined;
}

/** One pane: on the left what each trace is and reads, on the right its course. */
export function TrendPane(props: TrendPaneProps) {
  const { line, series, state, cursor, onRemove } = props;
  const setup = usePaneSetup(props);
  const data = usePaneData(props);
  return (
    <div className="pane">
      <ul className="pane-heads">
        {series.map((id, index) => (
          <TraceHead
            key={id}
            id={id}
            line={line}
            style={traceStyle(index)}
            isAlone={series.length === 1}
            columns={state.columns.get(id) ?? EMPTY_COLUMNS}
            cursor={cursor}
            onRemove={onRemove}
          />
        ))}
      </ul>
      <PanePlot setup={setup} data={data} />
    </div>
  );
}

function usePaneSetup({ line, series, cursor, syncKey, hasTimeAxis, onPick }: TrendPaneProps): PaneSetup {
  const reader = useReader(line);
  const time = useTimeReader();
  const unit = useUnitOf()(series[0] ?? '');
  const interpolationOf = useInterpolationOf();
  return useMemo(() => {
    const least = readerScale(unit, reader).decimals === 0 ? 0 : 1;
    return {
      styles: series.map((_, index) => traceStyle(index)),
      isStep: series.map((id) => interpolationOf(id) === 'step'),
      isContact: unit === 'state',
      hasTimeAxis,
      time,
      axisText: (value, step) =>
        unit === 'state'
          ? quantityText({ value, unit }, reader)
          : numberText(value, Math.max(least, decimalsOf(step)), reader.words.decimalMark),
      syncKey,
      onCursor: (timeMs) => cursor.set(timeMs),
      onPick,
    };
  }, [series, unit, interpolationOf, reader, hasTimeAxis, time, syncKey, cursor, onPick]);
}

function usePaneData({ line, series, state }: TrendPaneProps): PaneData {
  const { stores } = useApp();
  const reader = useReader(line);
  const unitOf = useUnitOf();
  const alarms = useStore(stores.alarms);
  const band = useSteadyBand(series.length === 1 ? (series[0] ?? null) : null);
  return useMemo(
    () => ({
      window: { fromMs: state.fromMs, toMs: state.toMs },
      traces: series.map((id) => readerColumns(state.columns.get(id) ?? EMPTY_COLUMNS, unitOf(id), reader)),
      bands: [readerBand(band, unitOf(series[0] ?? ''), reader)],
      colours: series.map((id) => mostUrgentAbout(alarms, [id])?.priority ?? 'ink'),
    }),
    [series, state, unitOf, reader, band, alarms],
  );
}

/** Each message brings its own copy of the band; the chart is drawn anew only when an edge has moved. */
function useSteadyBand(id: string | null): Band | null {
  const band = useFigure(id)?.band ?? null;
  const [low, high, target] = [band?.low ?? null, band?.high ?? null, band?.target ?? null];
  return useMemo(() => ({ low, high, target }), [low, high, target]);
}

const DECIMALS_MAX = 4;

/** As many decimals as the steps of an axis need: none for 5, one for 0.5, three for 0.025. */
function decimalsOf(step: number): number {
  for (let decimals = 0; decimals < DECIMALS_MAX; decimals++) {
    const scaled = step * 10 ** decimals;
    if (Math.abs(scaled - Math.round(scaled)) < 1e-6) return decimals;
  }
  return DECIMALS_MAX;
}
