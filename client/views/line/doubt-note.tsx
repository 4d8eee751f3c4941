import { useMemo } from 'react';
import { Link } from 'wouter';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useFigures, useNames, useWatch } from '../../live/use-live.ts';

/** Which scale does not fit the others, while the balance names one; silent otherwise. */
export function DoubtNote({ line }: { readonly line: string }) {
  const { plant, texts } = useApp();
  const names = useNames();
  const errors = useMemo(
    () => plant.figures.filter((figure) => figure.line === line && figure.kind === 'instrument-error'),
    [plant, line],
  );
  const ids = useMemo(() => errors.map(({ id }) => id), [errors]);
  useWatch(useMemo(() => ({ figures: ids, tags: [], alarms: false }), [ids]));
  const messages = useFigures(ids);
  const named = errors.flatMap((figure, index) => {
    const value = messages[index]?.value ?? 0;
    return value === 0 ? [] : [{ figure, value }];
  });
  const words = texts.figures.balance;
  return (
    <p role="status" className="line-doubt">
      {named.map(({ figure, value }) => {
        const amount = `${numberText(Math.abs(value) * 100, 1, texts.format.decimalMark)} %`;
        const tag = figure.sources.find((source) => plant.tags.some(({ id }) => id === source));
        const name = tag === undefined ? names.stream(figure.stream ?? '') : names.subject(tag);
        return (
          <Link key={figure.id} href={`/balance/${line}`}>
            {words.inDoubt(name, value > 0 ? words.high(amount) : words.low(amount))}
          </Link>
        );
      })}
    </p>
  );
}
