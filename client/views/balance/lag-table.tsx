import type { LagReport } from '../../../server/contract/lag-report.ts';
import { useApp } from '../../live/app-context.ts';
import { fetchLags } from '../../live/plant-api.ts';
import { useAnswer } from '../../live/use-answer.ts';
import { useNames } from '../../live/use-live.ts';
import { ColumnHeads } from '../../parts/column-heads.tsx';
import '../../parts/table.css';

/** The lag of each stream as configured and as the readings show it. */
export function LagTable({ line }: { readonly line: string }) {
  const words = useApp().texts.figures.lag;
  const { answer } = useAnswer(fetchLags);
  const lags = answer?.filter((lag) => lag.line === line) ?? [];
  if (lags.length === 0) return null;
  return (
    <section className="panel figure-part figure-inputs">
      <h2>{words.title}</h2>
      <table role="table" className="table table-stacking">
        <ColumnHeads names={[words.stream, words.configured, words.seen, words.verdict]} />
        <tbody role="rowgroup">
          {lags.map((lag) => (
            <LagRow key={lag.stream} lag={lag} />
          ))}
        </tbody>
      </table>
      <p className="alarms-note soft">{words.about}</p>
    </section>
  );
}

function LagRow({ lag }: { readonly lag: LagReport }) {
  const { texts } = useApp();
  const words = texts.figures.lag;
  const names = useNames();
  const span = (ms: number) => words.seconds(String(Math.round(ms / 1000)));
  const { estimatedMs, errorMs, because } = lag;
  const verdict = words.verdicts[lag.verdict];
  return (
    <tr role="row">
      <th scope="row" role="rowheader">
        {names.stream(lag.stream)}
      </th>
      <td role="cell" data-name={words.configured}>
        {span(lag.configuredMs)}
      </td>
      <td role="cell" data-name={words.seen}>
        {estimatedMs !== null && errorMs !== null && words.seenText(span(estimatedMs), span(errorMs))}
      </td>
      <td role="cell" data-name={words.verdict}>
        {because === null ? verdict : words.because(verdict, words.reasons[because])}
      </td>
    </tr>
  );
}
