import { memo } from 'react';
import { ageText } from '../../../server/contract/format/age-text.ts';
import { quantityText } from '../../../server/contract/format/quantity-text.ts';
import { clockText } from '../../../server/contract/format/time-text.ts';
import type { TagDescription } from '../../../server/contract/tag-description.ts';
import { useApp } from '../../live/app-context.ts';
import type { LatestReading } from '../../live/live-stores.ts';
import {
  useConnection,
  useNames,
  useNow,
  useReader,
  useReading,
  useTimeReader,
} from '../../live/use-live.ts';

interface TagRowProps {
  readonly tag: TagDescription;
  readonly rowIndex: number;
}

export const TagRow = memo(function TagRow({ tag, rowIndex }: TagRowProps) {
  const { texts } = useApp();
  const reading = useReading(tag.id);
  return (
    <tr className="field-tag" aria-rowindex={rowIndex} data-tag={tag.id}>
      <td>{useNames().subject(tag.id)}</td>
      <td className="table-number">
        <LastValue tag={tag} reading={reading} />
      </td>
      <td className="table-number">{reading !== undefined && <Age timeMs={reading.timeMs} />}</td>
      <td>{reading !== undefined && texts.format.quality[reading.quality]}</td>
      <td className="field-id soft">{tag.id}</td>
    </tr>
  );
});

function LastValue({
  tag,
  reading,
}: {
  readonly tag: TagDescription;
  readonly reading: LatestReading | undefined;
}) {
  const { texts } = useApp();
  const connection = useConnection();
  const reader = useReader(tag.line);
  const time = useTimeReader();
  if (connection.state === 'lost') {
    return texts.connection.value(connection.sinceMs === null ? '' : clockText(connection.sinceMs, time));
  }
  if (reading === undefined) return <span className="soft">{texts.waiting}</span>;
  if (reading.value === null) return texts.field.noValue;
  return <b>{quantityText({ value: reading.value, unit: tag.unit }, reader)}</b>;
}

function Age({ timeMs }: { readonly timeMs: number }) {
  const { texts } = useApp();
  return ageText(useNow() - timeMs, texts.format.decimalMark);
}
