import { mostUrgentAbout } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import { useStore } from '../../live/use-live.ts';
import type { LineFigures } from './line-figures.ts';
import type { RejectPlace, RibbonLayout, RibbonPiece } from './ribbon-layout.ts';
import { MachineBar } from './machine-bar.tsx';
import { TreatedPattern } from './treated-pattern.tsx';
import './ribbon-shapes.css';

interface RibbonShapesProps {
  readonly layout: RibbonLayout;
  readonly figures: LineFigures;
  readonly widthPx: number;
}

/** The drawing itself. Every word about it stands beside it as text, so it is silent to screen readers. */
export function RibbonShapes({ layout, figures, widthPx }: RibbonShapesProps) {
  return (
    <svg className="ribbon-shapes" width={widthPx} height={layout.spoutEndPx} aria-hidden="true">
      <defs>
        <TreatedPattern id="treated" />
        <linearGradient id="falling" x1="0" y1="0" x2="0" y2="1">
          <stop className="ribbon-fall-start" offset="0.55" />
          <stop className="ribbon-fall-end" offset="1" />
        </linearGradient>
      </defs>
      {layout.rejects.map((place) => (
        <Falling key={place.machine} place={place} figures={figures} />
      ))}
      {layout.pieces.map((piece, gap) => (
        <Piece
          key={gap}
          piece={piece}
          topPx={layout.topPx}
          isTreated={figures.treatedFrom !== null && gap > figures.treatedFrom}
        />
      ))}
      {layout.machines.map((place, index) => {
        const machine = figures.order.machines[index];
        return machine === undefined ? null : <MachineBar key={place.id} machine={machine} place={place} />;
      })}
    </svg>
  );
}

interface PieceProps {
  readonly piece: RibbonPiece;
  readonly topPx: number;
  readonly isTreated: boolean;
}

function Piece({ piece, topPx, isTreated }: PieceProps) {
  const { startPx, endPx, thicknessPx, certainty } = piece;
  const box = { x: startPx, y: topPx, width: Math.max(0, endPx - startPx), height: thicknessPx };
  const bottomPx = topPx + thicknessPx;
  if (certainty === 'unknown') {
    return (
      <path className="ribbon-empty" d={`M${startPx} ${topPx}H${endPx}M${startPx} ${bottomPx}H${endPx}`} />
    );
  }
  if (thicknessPx < 0.5) {
    return <line className="ribbon-standing" x1={startPx} x2={endPx} y1={topPx} y2={topPx} />;
  }
  return (
    <>
      <rect className="ribbon-seed" {...box} />
      {isTreated && <rect {...box} fill="url(#treated)" />}
      {certainty === 'assumed' && (
        <line className="ribbon-assumed" x1={startPx} x2={endPx} y1={bottomPx} y2={bottomPx} />
      )}
    </>
  );
}

function Falling({ place, figures }: { readonly place: RejectPlace; readonly figures: LineFigures }) {
  const { stores } = useApp();
  const alarms = useStore(stores.alarms);
  const index = figures.order.machines.findIndex(({ id }) => id === place.machine);
  const found = figures.rejects[index];
  const ids = [found?.share, found?.ratio, found?.rate].flatMap((figure) =>
    figure === undefined ? [] : [figure.id],
  );
  const alarm = mostUrgentAbout(alarms, ids);
  const kind = place.isMeasured ? 'ribbon-reject' : 'ribbon-reject ribbon-reject-unmeasured';
  return (
    <path className={`${kind}${alarm === undefined ? '' : ` priority-${alarm.priority}`}`} d={place.path} />
  );
}
