import { useMemo, useState } from 'react';
import type { TrendState } from '../live/trend-source.ts';
import { snapshotStore, type SnapshotStore } from '../live/snapshot-store.ts';
import { TrendPane } from './trend-pane.tsx';
import type { TimeWindow } from '../live/trend-view.ts';
import './trend-panes.css';

export interface TrendPanesProps {
  readonly line: string;
  /** The series of each pane; all series of a pane have the same unit. */
  readonly panes: readonly (readonly string[])[];
  readonly state: TrendState;
  readonly onPick?: (window: TimeWindow) => void;
  readonly onRemove?: (id: string) => void;
}

/** Panes one above the other on one time axis, with one cursor through all of them. */
export function TrendPanes({ line, panes, state, onPick, onRemove }: TrendPanesProps) {
  const [cursor] = useState<SnapshotStore<number | null>>(() => snapshotStore<number | null>(null));
  const syncKey = useMemo(() => `panes ${panes.flat().join(' ')}`, [panes]);
  return (
    <div className="panes">
      {panes.map((series, index) => (
        <TrendPane
          key={series.join(' ')}
          line={line}
          series={series}
          state={state}
          cursor={cursor}
          syncKey={syncKey}
          hasTimeAxis={index === panes.length - 1}
          onPick={onPick}
          onRemove={onRemove}
        />
      ))}
    </div>
  );
}
