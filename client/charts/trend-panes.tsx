import { useMemo, useState, type ReactNode } from 'react';
import { snapshotStore, type SnapshotStore } from '../live/snapshot-store.ts';
import type { ChartFeed } from './chart-feed.ts';
import { TrendPane } from './trend-pane.tsx';
import type { TimeWindow } from '../live/trend-view.ts';
import './trend-panes.css';

export interface TrendPanesProps {
  readonly line: string;
  /** The series of each pane; all series of a pane have the same unit. */
  readonly panes: readonly (readonly string[])[];
  readonly feed: ChartFeed;
  readonly onPick?: (window: TimeWindow) => void;
  readonly onRemove?: (id: string) => void;
  /** What stands below the panes on the same time axis. */
  readonly children?: ReactNode;
  /** Where the cursor stands, for whoever wants to know; the panes keep one of their own without it. */
  readonly cursor?: SnapshotStore<number | null>;
}

/** Panes one above the other on one time axis, with one cursor through all of them. */
export function TrendPanes({ line, panes, feed, onPick, onRemove, children, cursor }: TrendPanesProps) {
  const [own] = useState<SnapshotStore<number | null>>(() => snapshotStore<number | null>(null));
  const syncKey = useMemo(() => `panes ${panes.flat().join(' ')}`, [panes]);
  return (
    <div className="panes">
      <div className="pane-list">
        {panes.map((series, index) => (
          <TrendPane
            key={series.join(' ')}
            line={line}
            series={series}
            feed={feed}
            cursor={cursor ?? own}
            syncKey={syncKey}
            hasTimeAxis={index === panes.length - 1}
            onPick={onPick}
            onRemove={onRemove}
          />
        ))}
      </div>
      {children}
    </div>
  );
}
