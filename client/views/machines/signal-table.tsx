import type { MachineStanding } from '../../../server/contract/machine-standing.ts';
import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useReader } from '../../live/use-live.ts';
import { deviationLevelText } from './deviation-text.ts';
import { ColumnHeads } from '../../parts/column-heads.tsx';
import '../../parts/table.css';

/** Each signal now, what is expected of it at this load, and how far it may go. */
export function SignalTable({ standing }: { readonly standing: MachineStanding }) {
  const words = useApp().texts.machines;
  const page = words.page;
  const reader = useReader(standing.line);
  return (
    <section className="panel machine-part machine-table">
      <h2>{page.signals}</h2>
      <table role="table" className="table table-stacking">
        <ColumnHeads names={[page.signal, page.value, page.expected, page.level, page.limit]} />
        <tbody role="rowgroup">
          {standing.signals.map((signal) => {
            const quantity = (value: number | null) =>
              value === null ? '' : quantityText({ value, unit: signal.unit }, reader);
            const level = (value: number | null) =>
              value === null ? '' : deviationLevelText(value, signal, reader);
            return (
              <tr role="row" key={signal.signal} data-drifting={signal.isDrifting || undefined}>
                <th scope="row" role="rowheader">
                  {words.signalNames[signal.signal] ?? signal.signal}
                </th>
                <td role="cell" data-name={page.value}>
                  {quantity(signal.value)}
                </td>
                <td role="cell" data-name={page.expected}>
                  {quantity(signal.expected)}
                </td>
                <td role="cell" data-name={page.level}>
                  {level(signal.level)}
                </td>
                <td role="cell" data-name={page.limit}>
                  {signal.levelMin === null ? '' : `± ${level(Math.abs(signal.levelMin)).replace('+', '')}`}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
