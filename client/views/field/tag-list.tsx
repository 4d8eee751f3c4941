import { useDeferredValue, useMemo, useState } from 'react';
import { useApp } from '../../live/app-context.ts';
import { useWatch } from '../../live/use-live.ts';
import { useBox } from '../../parts/use-box.ts';
import { matchingTags } from './matching-tags.ts';
import { TagRow } from './tag-row.tsx';
import { visibleRows } from './visible-rows.ts';
import { SearchField } from '../../parts/search-field.tsx';

/** Fixed, so that which rows are on the screen follows from where it is scrolled to. */
const ROW_PX = 34;

/** Every tag with its last value. Only the rows on the screen are drawn and asked for, however many there are. */
export function TagList() {
  const { texts, plant } = useApp();
  const words = texts.field;
  const [search, setSearch] = useState('');
  const asked = useDeferredValue(search);
  const found = useMemo(() => matchingTags(plant, asked), [plant, asked]);
  return (
    <section className="panel field-tags" aria-labelledby="tags-title">
      <div className="field-tags-head">
        <h2 id="tags-title">{words.tags}</h2>
        <SearchField label={words.search} value={search} onSearch={setSearch} />
        <p role="status" className="soft">
          {found.length === 0 ? words.noMatch : words.count(found.length, plant.tags.length)}
        </p>
      </div>
      <TagTable key={asked} tags={found} />
    </section>
  );
}

function TagTable({ tags }: { readonly tags: ReturnType<typeof matchingTags> }) {
  const { texts } = useApp();
  const words = texts.field.column;
  const [room, { heightPx }] = useBox<HTMLDivElement>();
  const [scrollPx, setScrollPx] = useState(0);
  const rows = visibleRows({ count: tags.length, rowPx: ROW_PX, scrollPx, heightPx });
  const { first, end } = rows;
  const shown = useMemo(() => tags.slice(first, end), [tags, first, end]);
  useWatch(useMemo(() => ({ tags: shown.map(({ id }) => id) }), [shown]));
  return (
    <div
      ref={room}
      className="field-tags-room"
      tabIndex={0}
      role="group"
      aria-label={texts.field.tags}
      onScroll={(event) => setScrollPx(event.currentTarget.scrollTop)}
    >
      <table className="table" aria-rowcount={tags.length + 1}>
        <thead>
          <tr aria-rowindex={1}>
            <th scope="col">{words.name}</th>
            <th scope="col" className="table-number">
              {words.value}
            </th>
            <th scope="col" className="table-number">
              {words.age}
            </th>
            <th scope="col">{words.quality}</th>
            <th scope="col" className="field-id">
              {words.id}
            </th>
          </tr>
        </thead>
        <tbody>
          <Spacer heightPx={rows.abovePx} />
          {shown.map((tag, index) => (
            <TagRow key={tag.id} tag={tag} rowIndex={first + index + 2} />
          ))}
          <Spacer heightPx={rows.belowPx} />
        </tbody>
      </table>
    </div>
  );
}

function Spacer({ heightPx }: { readonly heightPx: number }) {
  return heightPx === 0 ? null : <tr aria-hidden="true" style={{ height: heightPx }} />;
}
