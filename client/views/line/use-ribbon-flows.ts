import { useMemo } from 'react';
import { useConnection, useFigure, useFigures } from '../../live/use-live.ts';
import type { LineFigures } from './line-figures.ts';
import { ribbonFlows, type FlowOf, type RibbonFlows } from './ribbon-flows.ts';
import type { RibbonScale } from './ribbon-layout.ts';
import { ribbonScale } from './ribbon-scale.ts';

export interface FlowsAndScale {
  readonly flows: RibbonFlows;
  readonly scale: RibbonScale;
}

/** What flows now, from the figures that are mass flows, and the scale that fits. */
export function useRibbonFlows(figures: LineFigures): FlowsAndScale {
  const { order, flowFigures, feed } = figures;
  const ids = useMemo(() => [...flowFigures.values()], [flowFigures]);
  const messages = useFigures(ids);
  const isLost = useConnection().state === 'lost';
  const feedBand = useFigure(feed?.id ?? null)?.band ?? null;
  return useMemo(() => {
    const byId = new Map(
      messages.flatMap((message) => (message === undefined ? [] : [[message.id, message]])),
    );
    const flowOf: FlowOf = (stream) => {
      if (isLost) return null;
      const message = byId.get(flowFigures.get(stream) ?? '');
      // What is bypassed or stands still takes nothing out: that is known.
      if (message?.because === 'machine-bypassed' || message?.because === 'line-stopped') return 0;
      return message?.value ?? null;
    };
    const flows = ribbonFlows(order, flowOf);
    return { flows, scale: ribbonScale(flows, feedBand) };
  }, [order, flowFigures, messages, feedBand, isLost]);
}
