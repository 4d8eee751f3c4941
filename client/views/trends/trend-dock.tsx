import type { ReactNode } from 'react';
import { useApp } from '../../live/app-context.ts';

interface TrendDockProps {
  readonly title: ReactNode;
  readonly children: ReactNode;
  readonly actions?: ReactNode;
  readonly onClose: () => void;
}

/** What is said about a stretch or an event, below the panes and never over them. */
export function TrendDock({ title, children, actions, onClose }: TrendDockProps) {
  const { texts } = useApp();
  return (
    <section className="panel trend-dock" aria-labelledby="trend-dock-title">
      <div className="trend-dock-head">
        <h2 id="trend-dock-title">{title}</h2>
        <div className="trend-dock-actions">
          {actions}
          <button type="button" className="button button-quiet" onClick={onClose}>
            {texts.trends.close}
          </button>
        </div>
      </div>
      {children}
    </section>
  );
}
