import { useMemo } from 'react';
import { numberText } from '../../server/contract/format/number-text.ts';
import { readerScale } from '../../server/contract/format/reader-quantity.ts';
import { mostUrgentAbout } from '../live/alarm-order.ts';
import { useApp } from '../live/app-context.ts';
import type { TrendState } from '../live/trend-source.ts';
import type { SnapshotStore } from '../live/snapshot-store.ts';
import { EMPTY_COLUMNS } from '../live/trend-columns.ts';
import { useFigures, useReader, useStore, useTimeReader } from '../live/use-live.ts';
import { PanePlot } from './pane-plot.tsx';
import type { PaneSetup } from './pane.ts';
import type { TimeWindow } from '../live/trend-view.ts';
import { readerBand, readerColumns } from './reader-columns.ts';
import { traceStyle } from './trace-style.ts';
import { TraceHead } from './trace-head.tsx';
import { useUnitOf } from './use-unit-of.ts';

export interface TrendPaneProps {
  readonly line: string;
  readonly series: readonly string[];
  readonly state: TrendState;
  readonly cursor: SnapshotStore<number | null>;
  readonly syncKey: string;
  readonly hasTimeAxis: boolean;
  readonly onPick?: (window: TimeWindow) => void;
  readonly onRemove?: (id: string) => void;
}

/** One pane: on the left what each trace is and reads, on the right its course. */
export function TrendPane({
  line,
  series,
  state,
  cursor,
  syncKey,
  hasTimeAxis,
  onPick,
  onRemove,
}: TrendPaneProps) {
  const { stores } = useApp();
  const reader = useReader(line);
  const time = useTimeReader();
  const unitOf = useUnitOf();
  const unit = unitOf(series[0] ?? '');
  const alarms = useStore(stores.alarms);
  const figures = useFigures(series);

  const setup = useMemo((): PaneSetup => {
    const { decimals } = readerScale(unit, reader);
    return {
      styles: series.map((_, index) => traceStyle(index)),
      hasTimeAxis,
      time,
      axisText: (value, step) =>
        numberText(value, Math.max(decimals === 0 ? 0 : 1, decimalsOf(step)), reader.words.decimalMark),
      syncKey,
      onCursor: (timeMs) => cursor.set(timeMs),
      ...(onPick === undefined ? {} : { onPick }),
    };
  }, [series, unit, reader, hasTimeAxis, time, syncKey, cursor, onPick]);

  const data = useMemo(
    () => ({
      window: { fromMs: state.fromMs, toMs: state.toMs },
      traces: series.map((id) => readerColumns(state.columns.get(id) ?? EMPTY_COLUMNS, unitOf(id), reader)),
      bands: series.length === 1 ? [readerBand(figures[0]?.band ?? null, unit, reader)] : [],
      colours: series.map((id) => mostUrgentAbout(alarms, [id])?.priority ?? 'ink'),
    }),
    // The band is all that is drawn of the figures themselves; their values come with the state.
    // eslint-disable-next-line react-hooks/exhaustive-deps
    [series, state, unitOf, reader, unit, figures[0]?.band, alarms],
  );

  return (
    <div className="pane" role="group">
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
            {...(onRemove === undefined ? {} : { onRemove })}
          />
        ))}
      </ul>
      <PanePlot setup={setup} data={data} />
    </div>
  );
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
