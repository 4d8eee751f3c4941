import { Link } from 'wouter';
import type { FigureDescription, FigureMessage } from '../../../server/contract/figure-message.ts';
import { bandPlace, bandText, deviationText, targetText } from '../../../server/contract/format/band-text.ts';
import { quantityText, type Reader } from '../../../server/contract/format/quantity-text.ts';
import { unknownSentence } from '../../../server/contract/format/unknown-text.ts';
import { mostUrgentAbout } from '../../live/alarm-order.ts';
import { useApp } from '../../live/app-context.ts';
import type { TrendColumns } from '../../live/trend-columns.ts';
import { useFigure, useLot, useNames, useReader, useStore } from '../../live/use-live.ts';
import { PriorityBar } from '../../parts/priority-bar.tsx';
import { Sparkline } from '../../parts/sparkline.tsx';
import { FigureValue } from '../../parts/figure-value.tsx';
import { bareAmountText } from '../figure/amount-text.ts';
import './figure-card.css';

interface FigureCardProps {
  readonly figure: FigureDescription;
  readonly columns: TrendColumns | undefined;
}

/** One key figure: number, unit, target, band and trend; or in words why there is no number. */
export function FigureCard({ figure, columns }: FigureCardProps) {
  const { texts, stores } = useApp();
  const message = useFigure(figure.id);
  const reader = useReader(figure.line);
  const alarm = mostUrgentAbout(useStore(stores.alarms), [figure.id]);
  const planned = usePlanned(figure);
  const title = useNames().subject(figure.id);
  const priority = alarm === undefined ? '' : ` figure-card-alarm priority-${alarm.priority}`;
  return (
    <article className={`panel figure-card${priority}`} data-figure={figure.id} data-kind={figure.kind}>
      {alarm !== undefined && <PriorityBar priority={alarm.priority} />}
      <div className="figure-card-head">
        <h2 className="figure-card-title">
          <Link href={`/figure/${figure.id}`} title={texts.figures.why}>
            {title}
          </Link>
        </h2>
        {alarm !== undefined && (
          <span className="figure-card-word">
            {texts.line.alarmOf(reader.words.priority[alarm.priority])}
          </span>
        )}
      </div>
      <p className="figure-card-value">
        <FigureValue figure={figure} {...(planned === '' ? {} : { unitText: planned })} />
        <Sureness figure={figure} message={message} reader={reader} />
      </p>
      <p className="figure-card-facts">
        <Facts figure={figure} message={message} reader={reader} />
      </p>
      <Sparkline columns={columns} band={message?.band ?? null} />
    </article>
  );
}

interface FactsProps {
  readonly figure: FigureDescription;
  readonly message: FigureMessage | undefined;
  readonly reader: Reader;
}

/** How sure the number is, small beside it. */
function Sureness({ figure, message, reader }: FactsProps) {
  const { texts } = useApp();
  if (message?.value == null || message.uncertainty === null) return null;
  const amount = bareAmountText({ value: message.uncertainty, unit: figure.unit }, reader);
  return <span className="figure-card-sure">{texts.figures.plusMinus(amount)}</span>;
}

/** Target and deviation, band, or the whole reason why there is no number. */
function Facts({ figure, message, reader }: FactsProps) {
  const { texts } = useApp();
  if (message === undefined) return null;
  if (message.because !== null) return <span>{unknownSentence(message.because, reader.words)}</span>;
  const { band, value } = message;
  const isOff = value !== null && ['above', 'below'].includes(bandPlace(value, band));
  const deviation = value === null ? '' : deviationText(value, band, { ...reader, unit: figure.unit });
  const range = bandText(band, figure.unit, reader);
  const facts = [
    targetText(band, figure.unit, reader),
    isOff && deviation !== '' ? deviation : range === '' ? '' : texts.line.band(range),
  ].filter(Boolean);
  return facts.map((fact) => <span key={fact}>{fact}</span>);
}

/** "of 1850 bu" for what is done of a lot whose size is known; empty for anything else. */
function usePlanned({ kind, line }: FigureDescription): string {
  const { texts } = useApp();
  const reader = useReader(line);
  const planned = useLot(line)?.massKgPlanned ?? null;
  if (kind !== 'lot-mass' || planned === null) return '';
  return texts.line.ofPlanned(quantityText({ value: planned, unit: 'kg' }, reader));
}
