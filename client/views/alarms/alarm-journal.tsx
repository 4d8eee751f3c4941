import { useEffect, useMemo, useState } from 'react';
import { useApp } from '../../live/app-context.ts';
import { journalSource } from '../../live/journal-source.ts';
import { journalExportAddress } from '../../live/plant-api.ts';
import { useStore } from '../../live/use-live.ts';
import { JournalTable } from './journal-table.tsx';
import { RangeChoice } from '../../parts/range-choice.tsx';
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
    <section className="alarms-journal" aria-label={words.journal}>
      <div className="alarms-head">
        <RangeChoice
          label={words.journalRange}
          names={RANGE_NAMES}
          texts={words.journalRanges}
          range={range}
          onChoose={setRange}
        />
        <ExportLink spanMs={RANGES[range]} />
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

function ExportLink({ spanMs }: { readonly spanMs: number }) {
  const { texts, clock } = useApp();
  const nowMs = clock.nowMs();
  return (
    <a className="button button-link" href={journalExportAddress(nowMs - spanMs, nowMs)} download>
      {texts.alarms.journalExport}
    </a>
  );
}

function matchingLines(lines: readonly JournalLine[], search: string): readonly JournalLine[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  return lines.filter(({ text }) => words.every((word) => text.includes(word)));
}
