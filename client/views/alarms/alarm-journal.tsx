import { useEffect, useMemo, useState } from 'react';
import { useApp } from '../../live/app-context.ts';
import { journalSource } from '../../live/journal-source.ts';
import { useStore } from '../../live/use-live.ts';
import { JournalTable } from './journal-table.tsx';
import { useJournalLines, type JournalLine } from './use-journal-lines.ts';
import { SearchField } from '../../parts/search-field.tsx';

const HOUR_MS = 3_600_000;
const RANGES = { hour8: 8 * HOUR_MS, day: 24 * HOUR_MS, week: 168 * HOUR_MS } as const;
type Range = keyof typeof RANGES;
const RANGE_NAMES: readonly Range[] = ['hour8', 'day', 'week'];

/** Every change of every alarm in a time, newest first. */
export function AlarmJournal() {
  const { texts, stores, connection, clock } = useApp();
  const words = texts.alarms;
  const [range, setRange] = useState<Range>('day');
  const [search, setSearch] = useState('');
  const source = useMemo(
    () => journalSource({ stores, connection, clock }, RANGES[range]),
    [stores, connection, clock, range],
  );
  useEffect(() => source.start(), [source]);
  const { entries, isLoading, hasFailed } = useStore(source.state);
  const lines = useJournalLines(entries);
  const found = useMemo(() => matchingLines(lines, search), [lines, search]);
  const empty = lines.length === 0 ? words.journalEmpty : words.journalNoMatch;
  return (
    <section className="panel alarms-journal" aria-labelledby="journal-title">
      <div className="alarms-head">
        <h2 id="journal-title">{words.journal}</h2>
        <RangeChoice range={range} onChoose={setRange} />
        <SearchField label={words.journalSearch} value={search} onSearch={setSearch} />
      </div>
      <p role="status" className="alarms-note">
        {hasFailed && words.journalFailed}
        {isLoading && lines.length === 0 && words.journalLoading}
        {!isLoading && !hasFailed && found.length === 0 && empty}
        {hasFailed && (
          <button type="button" className="button" onClick={() => source.read()}>
            {words.again}
          </button>
        )}
      </p>
      {found.length > 0 && <JournalTable lines={found} />}
    </section>
  );
}

interface RangeChoiceProps {
  readonly range: Range;
  readonly onChoose: (range: Range) => void;
}

function RangeChoice({ range, onChoose }: RangeChoiceProps) {
  const { texts } = useApp();
  const words = texts.alarms;
  return (
    <label>
      {words.journalRange}{' '}
      <select className="input" value={range} onChange={(event) => onChoose(rangeNamed(event.target.value))}>
        {RANGE_NAMES.map((name) => (
          <option key={name} value={name}>
            {words.journalRanges[name]}
          </option>
        ))}
      </select>
    </label>
  );
}

function rangeNamed(name: string): Range {
  return RANGE_NAMES.find((one) => one === name) ?? 'day';
}

function matchingLines(lines: readonly JournalLine[], search: string): readonly JournalLine[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  return lines.filter(({ text }) => words.every((word) => text.includes(word)));
}
