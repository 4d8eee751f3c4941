import { useMemo } from 'react';
import type { LineGraph } from '../../../server/contract/line-graph.ts';
import { useWatch } from '../../live/use-live.ts';
import { useBox } from '../../parts/use-box.ts';
import { FlowLabels } from './flow-labels.tsx';
import type { LineFigures } from './line-figures.ts';
import { MachineLabel } from './machine-label.tsx';
import { RejectLabel } from './reject-label.tsx';
import { RibbonColumn } from './ribbon-column.tsx';
import { RibbonShapes } from './ribbon-shapes.tsx';
import { ribbonLayout } from './ribbon-layout.ts';
import { ribbonSize } from './ribbon-size.ts';
import { useRibbonFlows } from './use-ribbon-flows.ts';
import { flowGaps } from './flow-gaps.ts';
import { wishOf } from './line-wish.ts';
import './line-ribbon.css';

interface LineRibbonProps {
  readonly graph: LineGraph;
  readonly figures: LineFigures;
}

/** Below this width the ribbon runs down the page, where each machine has a row of its own. */
const LYING_PX_MIN = 680;

/** The line as a ribbon whose width is mass flow; what each machine takes falls away below it. */
export function LineRibbon({ graph, figures }: LineRibbonProps) {
  const [element, { widthPx }] = useBox<HTMLDivElement>();
  const wish = useMemo(() => wishOf(graph, figures), [graph, figures]);
  useWatch(wish);
  return (
    <div ref={element} className="ribbon-room">
      {widthPx >= LYING_PX_MIN && <LyingRibbon figures={figures} widthPx={widthPx} />}
      {widthPx > 0 && widthPx < LYING_PX_MIN && <RibbonColumn figures={figures} />}
    </div>
  );
}

function LyingRibbon({ figures, widthPx }: { readonly figures: LineFigures; readonly widthPx: number }) {
  const { flows, scale } = useRibbonFlows(figures);
  const size = ribbonSize(widthPx);
  const labelledGaps = flowGaps(figures);
  const layout = ribbonLayout(figures.order, flows, { size, scale, labelledGaps });
  return (
    <div className="ribbon">
      <ol className={`ribbon-names${layout.hasTwoRows.names ? ' ribbon-two-rows' : ''}`}>
        {layout.machines.map((place, index) => {
          const machine = figures.order.machines[index];
          return machine === undefined ? null : (
            <MachineLabel key={place.id} machine={machine} place={place} />
          );
        })}
      </ol>
      <div className="ribbon-drawing" style={{ height: layout.spoutEndPx }}>
        <RibbonShapes layout={layout} figures={figures} widthPx={widthPx} />
        <FlowLabels figures={figures} layout={layout} size={size} />
      </div>
      <ul className={`ribbon-rejects${layout.hasTwoRows.rejects ? ' ribbon-two-rows' : ''}`}>
        {layout.rejects.map((place) => {
          const index = figures.order.machines.findIndex(({ id }) => id === place.machine);
          const found = figures.rejects[index];
          const streams = figures.order.rejects[index] ?? [];
          const machine = figures.order.machines[index];
          if (machine === undefined || found == null) return null;
          return (
            <RejectLabel key={place.machine} reject={{ machine, streams, figures: found }} place={place} />
          );
        })}
      </ul>
    </div>
  );
}
