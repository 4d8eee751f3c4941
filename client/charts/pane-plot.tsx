import { useEffect, useRef } from 'react';
import { useApp } from '../live/app-context.ts';
import { useStore } from '../live/use-live.ts';
import { useBox } from '../parts/use-box.ts';
import type { ChartFeed } from './chart-feed.ts';
import { forgetFrame, onNextFrame } from './next-frame.ts';
import type { PaneData } from './pane-data.ts';
import { openPane, type Pane, type PaneSetup } from './pane.ts';

interface PanePlotProps {
  /** The same object while it means the same: another one opens the pane anew. */
  readonly setup: PaneSetup;
  readonly feed: ChartFeed;
  /** What to draw now. The same function while it answers from the same things. */
  readonly dataOf: (feed: ChartFeed) => PaneData;
}

/** Puts a pane on the page, keeps its size and draws whenever what it shows has changed. */
export function PanePlot({ setup, feed, dataOf }: PanePlotProps) {
  const [element, { widthPx, heightPx }] = useBox<HTMLDivElement>();
  const pane = useRef<Pane | null>(null);
  const { theme } = useStore(useApp().preferences);

  useEffect(() => {
    if (element.current === null) return;
    const opened = openPane(element.current, setup);
    pane.current = opened;
    return () => {
      opened.close();
      pane.current = null;
    };
  }, [element, setup]);

  useEffect(() => {
    if (widthPx > 0 && heightPx > 0) pane.current?.resize(widthPx, heightPx);
  }, [setup, widthPx, heightPx]);

  useEffect(() => {
    const draw = () => pane.current?.draw(dataOf(feed));
    const soon = () => onNextFrame(draw);
    const stops = [feed.state.subscribe(soon), feed.extras.subscribe(soon)];
    draw();
    return () => {
      forgetFrame(draw);
      for (const stop of stops) stop();
    };
  }, [setup, feed, dataOf]);

  useEffect(() => {
    // The theme is put on the document by an effect of the shell; wait until that has run.
    const frame = requestAnimationFrame(() => pane.current?.repaint());
    return () => cancelAnimationFrame(frame);
  }, [theme]);

  return <div ref={element} className="pane-plot" />;
}
