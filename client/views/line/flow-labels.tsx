import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import { clockText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useConnection, useTimeReader } from '../../live/use-live.ts';
import { FigureValue } from '../../parts/figure-value.tsx';
import type { LineFigures } from './line-figures.ts';
import type { RibbonLayout, RibbonSize } from './ribbon-layout.ts';

interface FlowLabelsProps {
  readonly figures: LineFigures;
  readonly layout: RibbonLayout;
  readonly size: RibbonSize;
}

/** The mass flows written on the ribbon where they flow; without a connection, one sentence in their place. */
export function FlowLabels({ figures, layout, size }: FlowLabelsProps) {
  const { texts } = useApp();
  const connection = useConnection();
  const time = useTimeReader();
  const top = size.thicknessPxMax * LABEL_HEIGHT_SHARE + layout.topPx;
  const centre = (gap: number) => {
    const piece = layout.pieces[gap];
    return { left: piece === undefined ? 0 : (piece.startPx + piece.endPx) / 2, top };
  };
  if (connection.state === 'lost') {
    const since = connection.sinceMs === null ? '' : clockText(connection.sinceMs, time);
    return (
      <p className="ribbon-flow ribbon-flow-lost" style={{ left: size.widthPx / 2, top }}>
        {texts.connection.value(since)}
      </p>
    );
  }
  return (
    <>
      <FlowLabel figure={figures.feed} word="flowIn" place={centre(1)} />
      <FlowLabel figure={figures.clean} word="flowClean" place={centre(figures.cleanGap)} />
      {figures.treatedFrom !== null && (
        <FlowLabel figure={figures.treated} word="flowTreated" place={centre(figures.treatedFrom + 1)} />
      )}
    </>
  );
}

/** A little above the middle, so that a label stays on a ribbon that has become thin. */
const LABEL_HEIGHT_SHARE = 0.42;

interface FlowLabelProps {
  readonly figure: FigureDescription | undefined;
  readonly word: 'flowIn' | 'flowClean' | 'flowTreated';
  readonly place: { readonly left: number; readonly top: number };
}

function FlowLabel({ figure, word, place }: FlowLabelProps) {
  const { texts } = useApp();
  if (figure === undefined) return null;
  return (
    <p className="ribbon-flow" style={place} data-flow={word}>
      <FigureValue figure={figure} /> {texts.line[word]}
    </p>
  );
}
