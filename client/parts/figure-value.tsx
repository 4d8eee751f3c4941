import type { FigureDescription } from '../../server/contract/figure-message.ts';
import { finestOf, quantityParts } from '../../server/contract/format/quantity-text.ts';
import { clockText } from '../../server/contract/format/time-text.ts';
import { unknownText } from '../../server/contract/format/unknown-text.ts';
import { useApp } from '../live/app-context.ts';
import { useConnection, useFigure, useReader, useTimeReader } from '../live/use-live.ts';

interface FigureValueProps {
  readonly figure: FigureDescription;
  /** Stands in the unit's place where it says more, for example "of 1850 bu". */
  readonly unitText?: string;
  /** Where there is little room: the banner and the head of the drawing say since when. */
  readonly isShort?: boolean;
}

/** A figure's number with its unit; or in words why there is none. Never the last good number as if it were live. */
export function FigureValue({ figure, unitText, isShort = false }: FigureValueProps) {
  const { texts } = useApp();
  const message = useFigure(figure.id);
  const connection = useConnection();
  const reader = useReader(figure.line);
  const time = useTimeReader();
  if (connection.state === 'lost') {
    const since = connection.sinceMs === null ? '' : clockText(connection.sinceMs, time);
    return (
      <span className="unknown">{isShort ? texts.connection.short : texts.connection.value(since)}</span>
    );
  }
  if (message === undefined) return <span className="unknown">{texts.waiting}</span>;
  if (message.value === null) {
    return <span className="unknown">{unknownText(message.because ?? 'fault', reader.words)}</span>;
  }
  const parts = quantityParts({ value: message.value, unit: figure.unit }, reader, finestOf(message.band));
  return (
    <>
      <span className="number">{parts.number}</span> <span className="unit">{unitText ?? parts.unit}</span>
    </>
  );
}
