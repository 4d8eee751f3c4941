import { useEffect, useRef } from 'react';
import { useApp } from '../live/app-context.ts';
import { useStore } from '../live/use-live.ts';
import { useBox } from '../parts/use-box.ts';
import { openPane, type Pane, type PaneData, type PaneSetup } from './pane.ts';

interface PanePlotProps {
  /** The same object while it means the same: another one opens the pane anew. */
  readonly setup: PaneSetup;
  readonly data: PaneData;
}

/** Puts a pane on the page, keeps its size and gives it its data. */
export function PanePlot({ setup, data }: PanePlotProps) {
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

  useEffect(() => pane.current?.draw(data), [setup, data]);

  useEffect(() => {
    // The theme is put on the document by an effect of the shell; wait until that has run.
    const frame = requestAnimationFrame(() => pane.current?.repaint());
    return () => cancelAnimationFrame(frame);
  }, [theme]);

  return <div ref={element} className="pane-plot" />;
}
