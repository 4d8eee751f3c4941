import { useMemo } from 'react';
import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import { bandText, targetText } from '../../../server/contract/format/band-text.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { clockText } from '../../../server/contract/format/time-text.ts';
import { unknownSentence } from '../../../server/contract/format/unknown-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useFigure, useReader, useTimeReader, useWatch } from '../../live/use-live.ts';
import { FigureValue } from '../../parts/figure-value.tsx';
import { amountText } from './amount-text.ts';

/** The number itself, how sure it is, and where it should lie. */
export function FigureHead({ figure }: { readonly figure: FigureDescription }) {
  const { texts } = useApp();
  const words = texts.figures;
  const reader = useReader(figure.line);
  const time = useTimeReader();
  useWatch(useMemo(() => ({ figures: [figure.id], tags: [], alarms: false }), [figure.id]));
  const message = useFigure(figure.id);
  if (message === undefined) return <p className="soft">{texts.waiting}</p>;
  const { uncertainty, coveredRatio, band } = message;
  const facts = [
    targetText(band, figure.unit, reader),
    bandText(band, figure.unit, reader) === '' ? '' : texts.line.band(bandText(band, figure.unit, reader)),
    coveredRatio === null
      ? ''
      : words.covered(`${numberText(coveredRatio * 100, 0, texts.format.decimalMark)} %`),
    words.quality(texts.format.quality[message.quality]),
    words.at(clockText(message.timeMs, time)),
  ];
  return (
    <div className="figure-head" data-figure={figure.id}>
      <p className="figure-number">
        <FigureValue figure={figure} />
        {uncertainty !== null && message.value !== null && (
          <span className="figure-sure">
            {words.plusMinus(amountText({ value: uncertainty, unit: figure.unit }, reader))}
          </span>
        )}
      </p>
      {message.because !== null && <p>{unknownSentence(message.because, texts.format)}</p>}
      {uncertainty === null && message.value !== null && <p className="soft">{words.noUncertainty}</p>}
      <p className="soft">{facts.filter(Boolean).join(' · ')}</p>
    </div>
  );
}
