import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import type { FigureProvenance } from '../../../server/contract/figure-provenance.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useReader } from '../../live/use-live.ts';
import { amountText } from './amount-text.ts';
import { causeText } from './cause-text.ts';

interface CausesProps {
  readonly figure: FigureDescription;
  readonly causes: FigureProvenance['causes'];
}

/** Which instrument would have to be better for the number to be surer. */
export function FigureCauses({ figure, causes }: CausesProps) {
  const words = useApp().texts.figures;
  const names = useNames();
  const reader = useReader(figure.line);
  const most = causes[0]?.uncertainty ?? 0;
  if (most <= 0) return null;
  return (
    <section className="panel figure-part">
      <h2>{words.causes}</h2>
      <ol>
        {causes.map(({ cause, uncertainty }) => (
          <li key={cause} className="figure-cause" style={{ '--share': uncertainty / most }}>
            {causeText(cause, names, words)}{' '}
            <span className="number">
              {words.plusMinus(amountText({ value: uncertainty, unit: figure.unit }, reader))}
            </span>
          </li>
        ))}
      </ol>
      <p className="soft">{words.uncertainSources}</p>
    </section>
  );
}
