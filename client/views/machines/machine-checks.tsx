import type { MachineStanding } from '../../../server/contract/machine-standing.ts';
import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useReader } from '../../live/use-live.ts';
import '../../parts/table.css';

/** What known physics and published limits say, whatever the machine's own past. */
export function MachineChecks({ standing }: { readonly standing: MachineStanding }) {
  const words = useApp().texts.machines;
  const page = words.page;
  const reader = useReader(standing.line);
  if (standing.checks.length === 0) return null;
  return (
    <section className="panel machine-part machine-table">
      <h2>{page.checks}</h2>
      <table role="table" className="table table-stacking">
        <tbody role="rowgroup">
          {standing.checks.map(({ check, verdict, value, watchFrom, actFrom, unit, detail }, index) => (
            <tr role="row" key={`${check} ${index}`} data-verdict={verdict}>
              <th scope="row" role="rowheader">
                {words.checkNames[check]}
                {detail !== null && <span className="soft"> {detail}</span>}
              </th>
              <td role="cell">{quantityText({ value, unit }, reader)}</td>
              <td role="cell">{page.verdict[verdict]}</td>
              <td role="cell">
                {page.watchFrom} {quantityText({ value: watchFrom, unit }, reader)}
              </td>
              <td role="cell">
                {page.actFrom} {quantityText({ value: actFrom, unit }, reader)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
