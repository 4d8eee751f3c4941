import { useDeferredValue, useMemo, useState } from 'react';
import { useApp } from '../../live/app-context.ts';
import { useNames } from '../../live/use-live.ts';
import { useIsNarrow } from '../../parts/use-is-narrow.ts';
import { matching, seriesGroups } from './series-groups.ts';
import { TRACES_MAX } from './trend-link.ts';
import { SearchField } from '../../parts/search-field.tsx';

interface SeriesChooserProps {
  readonly chosen: readonly string[];
  readonly onToggle: (id: string) => void;
}

/** All tags and figures with a box to tick; folded away where there is little room. */
export function SeriesChooser({ chosen, onToggle }: SeriesChooserProps) {
  const { texts } = useApp();
  const isNarrow = useIsNarrow();
  if (!isNarrow) {
    return (
      <section className="chooser" aria-labelledby="chooser-title">
        <h2 id="chooser-title">{texts.trends.choose}</h2>
        <ChooserBody chosen={chosen} onToggle={onToggle} />
      </section>
    );
  }
  return (
    <details className="chooser">
      <summary>{texts.trends.choose}</summary>
      <ChooserBody chosen={chosen} onToggle={onToggle} />
    </details>
  );
}

function ChooserBody({ chosen, onToggle }: SeriesChooserProps) {
  const { texts, plant } = useApp();
  const names = useNames();
  const [search, setSearch] = useState('');
  const asked = useDeferredValue(search);
  const groups = useMemo(() => seriesGroups(plant, names, texts.trends.line), [plant, names, texts]);
  const found = useMemo(() => matching(groups, asked), [groups, asked]);
  const isFull = chosen.length >= TRACES_MAX;
  return (
    <>
      <SearchField label={texts.trends.search} value={search} onSearch={setSearch} />
      <p className="soft">{texts.trends.chosen(chosen.length, TRACES_MAX)}</p>
      <div className="chooser-list" tabIndex={0} role="group" aria-label={texts.trends.choose}>
        {found.length === 0 && <p className="soft">{texts.trends.noMatch}</p>}
        {found.map((group) => (
          <fieldset key={group.id} className="chooser-group">
            <legend>{group.name}</legend>
            {group.items.map(({ id, name }) => (
              <label key={id}>
                <input
                  type="checkbox"
                  checked={chosen.includes(id)}
                  disabled={isFull && !chosen.includes(id)}
                  onChange={() => onToggle(id)}
                />
                {name}
              </label>
            ))}
          </fieldset>
        ))}
      </div>
    </>
  );
}
