import type { FigureDescription } from '../../../server/contract/figure-message.ts';
import type { ProvenanceInput } from '../../../server/contract/figure-provenance.ts';
import { ageText } from '../../../server/contract/format/age-text.ts';
import { numberText } from '../../../server/contract/format/number-text.ts';
import { quantityText, type Reader } from '../../../server/contract/format/quantity-text.ts';
import { clockText } from '../../../server/contract/format/time-text.ts';
import { useApp } from '../../live/app-context.ts';
import { useNames, useNow, useReader, useTimeReader } from '../../live/use-live.ts';
import { amountText } from './amount-text.ts';
import { ColumnHeads } from '../../parts/column-heads.tsx';
import '../../parts/table.css';

interface InputsProps {
  readonly figure: FigureDescription;
  readonly inputs: readonly ProvenanceInput[];
}

/** Each reading, sample and number that the figure comes from. */
export function FigureInputs({ figure, inputs }: InputsProps) {
  const words = useApp().texts.figures;
  const columns = ['role', 'source', 'value', 'uncertainty', 'window', 'age', 'covered', 'stated'] as const;
  if (inputs.length === 0) return null;
  return (
    <section className="panel figure-part figure-inputs">
      <h2>{words.inputs}</h2>
      <table role="table" className="table table-stacking">
        <ColumnHeads names={columns.map((name) => words.column[name])} />
        <tbody role="rowgroup">
          {inputs.map((input, index) => (
            <InputRow key={`${input.role} ${input.tag ?? index}`} input={input} line={figure.line} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function InputRow({ input, line }: { readonly input: ProvenanceInput; readonly line: string }) {
  const { texts } = useApp();
  const words = texts.figures;
  const reader = useReader(line);
  const names = useNames();
  const time = useTimeReader();
  const now = useNow();
  const { fromMs, toMs, newestMs, coveredRatio, uncertainty, unit, stream } = input;
  const source =
    input.tag === null
      ? stream === null
        ? words.configured
        : names.stream(stream)
      : names.subject(input.tag);
  const cells = {
    source,
    value: valueText(input, reader),
    uncertainty:
      uncertainty === null ? '' : words.plusMinus(amountText({ value: uncertainty, unit }, reader)),
    window:
      fromMs === null || toMs === null ? '' : words.windowOf(clockText(fromMs, time), clockText(toMs, time)),
    age: newestMs === null ? '' : ageText(Math.max(0, now - newestMs), reader.words.decimalMark),
    covered: coveredRatio === null ? '' : shareText(coveredRatio, reader),
    stated: statedText(input, reader, words),
  };
  return (
    <tr role="row">
      <th scope="row" role="rowheader">
        {words.roles[input.role]}
      </th>
      {(Object.keys(cells) as (keyof typeof cells)[]).map((name) => (
        <td key={name} role="cell" data-name={words.column[name]}>
          {cells[name]}
        </td>
      ))}
    </tr>
  );
}

function valueText({ value, because, unit }: ProvenanceInput, reader: Reader): string {
  if (value !== null) return quantityText({ value, unit }, reader);
  return because === null ? '' : reader.words.unknown[because];
}

function shareText(share: number, reader: Reader): string {
  return `${numberText(share * 100, share < 0.1 ? 2 : 0, reader.words.decimalMark)} %`;
}

interface StatedWords {
  readonly statedError: (tolerance: string, scatter: string) => string;
  readonly notStated: string;
}

/** "0.25 %, scatter 12 kg/h": whichever of share and amount is stated. */
function statedText({ error, tag, unit }: ProvenanceInput, reader: Reader, words: StatedWords): string {
  if (tag === null) return '';
  if (error === null) return words.notStated;
  const either = (ratio: number, amount: number) =>
    [
      ...(ratio > 0 ? [shareText(ratio, reader)] : []),
      ...(amount > 0 ? [amountText({ value: amount, unit }, reader)] : []),
    ].join(' + ') || '0';
  return words.statedError(
    either(error.toleranceRatio, error.tolerance),
    either(error.scatterRatio, error.scatter),
  );
}
