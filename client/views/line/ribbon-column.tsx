import type { Machine } from '../../../server/contract/line-graph.ts';
import { useApp } from '../../live/app-context.ts';
import { FigureValue } from '../../parts/figure-value.tsx';
import type { LineFigures } from './line-figures.ts';
import { RejectFacts } from './reject-label.tsx';
import { ribbonColumnLayout, type ColumnRow, type ColumnSize } from './ribbon-column-layout.ts';
import { useMachineState } from './use-machine-state.ts';
import { useRibbonFlows } from './use-ribbon-flows.ts';
import { TreatedPattern } from './treated-pattern.tsx';
import './ribbon-column.css';

const SIZE: ColumnSize = { rowPx: 74, leftPx: 8, thicknessPxMax: 74, spoutEndPx: 112 };
const BAR_PX = 6;

/** The ribbon for a narrow screen: it runs down the page, and each machine has a row for its words. */
export function RibbonColumn({ figures }: { readonly figures: LineFigures }) {
  const { order } = figures;
  const { flows, scale } = useRibbonFlows(figures);
  const hasReject = order.rejects.map((streams) => streams.length > 0);
  const rows = ribbonColumnLayout(flows, hasReject, { size: SIZE, scale });
  return (
    <div className="column" style={{ '--row': `${SIZE.rowPx}px` }}>
      <svg
        className="column-shapes"
        width={SIZE.spoutEndPx}
        height={rows.length * SIZE.rowPx}
        aria-hidden="true"
      >
        <defs>
          <TreatedPattern id="treated-column" />
        </defs>
        {rows.map((row, index) => (
          <RowShapes
            key={order.machines[index]?.id ?? index}
            row={row}
            machine={order.machines[index]}
            isMeasured={flows.rejects[index] !== null}
            isTreated={figures.treatedFrom !== null && index >= figures.treatedFrom}
          />
        ))}
      </svg>
      <ol className="column-rows">
        {order.machines.map((machine, index) => (
          <Row key={machine.id} machine={machine} figures={figures} index={index} />
        ))}
      </ol>
    </div>
  );
}

interface RowShapesProps {
  readonly row: ColumnRow;
  readonly machine: Machine | undefined;
  readonly isMeasured: boolean;
  readonly isTreated: boolean;
}

function RowShapes({ row, machine, isMeasured, isTreated }: RowShapesProps) {
  const box = { x: SIZE.leftPx, y: row.yPx, width: row.thicknessPx, height: row.heightPx };
  const rejectClass = isMeasured ? 'column-reject' : 'ribbon-reject ribbon-reject-unmeasured';
  return (
    <>
      {row.rejectPath !== '' && <path className={rejectClass} d={row.rejectPath} />}
      <rect className="ribbon-seed" {...box} />
      {isTreated && <rect {...box} fill="url(#treated-column)" />}
      {machine !== undefined && <RowBar row={row} machine={machine} />}
    </>
  );
}

function RowBar({ row, machine }: { readonly row: ColumnRow; readonly machine: Machine }) {
  const state = useMachineState(machine);
  return (
    <rect
      className={`ribbon-machine ribbon-machine-${state}`}
      x={1}
      y={row.yPx - BAR_PX / 2}
      width={row.barEndPx}
      height={BAR_PX}
      rx={2}
    />
  );
}

interface RowProps {
  readonly machine: Machine;
  readonly figures: LineFigures;
  readonly index: number;
}

function Row({ machine, figures, index }: RowProps) {
  const { texts } = useApp();
  const state = useMachineState(machine);
  const found = figures.rejects[index];
  const flow = flowBehind(figures, index);
  return (
    <li className="column-row" data-machine={machine.id} data-state={state}>
      <p className="column-name">
        <b>{machine.name}</b>
        {machine.kind !== 'bin' && (
          <span className={state === 'stopped' ? 'ribbon-stopped' : ''}>{texts.machineState[state]}</span>
        )}
      </p>
      {found != null && (
        <div className="column-reject-facts" data-reject={machine.id}>
          <RejectFacts reject={{ machine, streams: figures.order.rejects[index] ?? [], figures: found }} />
        </div>
      )}
      {flow !== null && (
        <p className="column-flow">
          <FigureValue figure={flow.figure} isShort /> {texts.line[flow.word]}
        </p>
      )}
    </li>
  );
}

/** The mass flow to write behind a machine, where it has no reject to speak of. */
function flowBehind({ feed, treated, treatedFrom }: LineFigures, index: number) {
  if (index === 0 && feed !== undefined) return { figure: feed, word: 'flowIn' as const };
  if (index === treatedFrom && treated !== undefined)
    return { figure: treated, word: 'flowTreated' as const };
  return null;
}
