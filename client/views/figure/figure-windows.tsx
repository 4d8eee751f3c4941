import { useMemo } from 'react';
import { Link } from 'wouter';
import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import { useApp } from '../../live/app-context.ts';
import { useFigure, useNames, useReader, useWatch } from '../../live/use-live.ts';
import { FigureValue } from '../../parts/figure-value.tsx';
import { amountText } from './amount-text.ts';

/** The same figure now, over ten minutes, over the lot and over the shift, as far as the line has them. */
export function FigureWindows({ figure }: { readonly figure: FigureDescription }) {
  const { texts, plant } = useApp();
  const kin = useMemo(() => plant.figures.filter((one) => isKin(one, figure)), [plant, figure]);
  const wish = useMemo(() => ({ figures: kin.map(({ id }) => id), tags: [], alarms: false }), [kin]);
  useWatch(wish);
  if (kin.length === 0) return null;
  return (
    <section className="panel figure-part">
      <h2>{texts.figures.windows}</h2>
      <ul className="figure-windows">
        {kin.map((one) => (
          <KinFigure key={one.id} figure={one} />
        ))}
      </ul>
    </section>
  );
}

function KinFigure({ figure }: { readonly figure: FigureDescription }) {
  const words = useApp().texts.figures;
  const names = useNames();
  const reader = useReader(figure.line);
  const message = useFigure(figure.id);
  const uncertainty = message?.value == null ? null : message.uncertainty;
  return (
    <li>
      <Link href={`/figure/${figure.id}`}>{names.subject(figure.id)}</Link> <FigureValue figure={figure} />
      {uncertainty !== null && (
        <span className="soft">
          {' '}
          {words.plusMinus(amountText({ value: uncertainty, unit: figure.unit }, reader))}
        </span>
      )}
    </li>
  );
}

function isKin(one: FigureDescription, figure: FigureDescription): boolean {
  const keys = ['line', 'machine', 'stream', 'product', 'kind'] as const;
  return one.id !== figure.id && keys.every((key) => one[key] === figure[key]);
}
