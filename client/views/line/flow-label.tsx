import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import { useApp } from '../../live/app-context.ts';
import { FigureValue } from '../../parts/figure-value.tsx';
import type { RibbonSize } from './ribbon-layout.ts';

interface FlowLabelProps {
  readonly figure: FigureDescription | undefined;
  readonly word: 'flowIn' | 'flowClean' | 'flowTreated';
  readonly xPx: number;
  readonly size: RibbonSize;
}

/** A mass flow written on the ribbon where it flows. */
export function FlowLabel({ figure, word, xPx, size }: FlowLabelProps) {
  const { texts } = useApp();
  if (figure === undefined) return null;
  return (
    <p className="ribbon-flow" style={{ left: xPx, top: size.thicknessPxMax * 0.42 + 10 }} data-flow={word}>
      <FigureValue figure={figure} /> {texts.line[word]}
    </p>
  );
}
