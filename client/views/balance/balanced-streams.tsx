import type { BalanceReport } from '../../../server/contract/balance-report.ts';
import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useReader } from '../../live/use-live.ts';
import { amountText } from '../figure/amount-text.ts';
import { ColumnHeads } from '../../parts/column-heads.tsx';
import '../../parts/table.css';

/** Measured and reconciled flow of each stream, side by side. */
export function BalancedStreams({ report }: { readonly report: BalanceReport }) {
  const { texts } = useApp();
  const words = texts.figures.balance;
  const names = useNames();
  const reader = useReader(report.line);
  const flow = (value: number | null) =>
    value === null ? words.notMeasured : quantityText({ value, unit: 'kg/h' }, reader);
  return (
    <section className="panel figure-part figure-inputs">
      <table role="table" className="table table-stacking">
        <ColumnHeads names={[words.stream, words.measured, words.reconciled, words.sureTo, words.checked]} />
        <tbody role="rowgroup">
          {report.streams.map(
            ({ stream, measuredKgPerH, reconciledKgPerH, uncertaintyKgPerH, isObservable }) => (
              <tr role="row" key={stream}>
                <th scope="row" role="rowheader">
                  {names.stream(stream)}
                </th>
                <td role="cell" data-name={words.measured}>
                  {flow(measuredKgPerH)}
                </td>
                <td role="cell" data-name={words.reconciled}>
                  {reconciledKgPerH === null ? '' : flow(reconciledKgPerH)}
                </td>
                <td role="cell" data-name={words.sureTo}>
                  {uncertaintyKgPerH !== null &&
                    texts.figures.plusMinus(amountText({ value: uncertaintyKgPerH, unit: 'kg/h' }, reader))}
                </td>
                <td role="cell" data-name={words.checked}>
                  {isObservable ? words.yes : words.no}
                </td>
              </tr>
            ),
          )}
        </tbody>
      </table>
    </section>
  );
}
