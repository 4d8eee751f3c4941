import { setImmediate } from 'node:timers/promises';
import type { JournalEntry, JournalFilter, JournalPage } from '../../contract/alarm-journal.ts';
import { Fault } from '../../contract/faults.ts';
import type { JournalPlace, JournalQuestion, RecordStore, TimeRange } from '../../ports/record-store.ts';
import { gotText } from '../misfit.ts';

/** Few enough to be read and looked through in some ten milliseconds: the clockwork ticks on the same thread. */
const SLICE = 1000;

type Asked = TimeRange & Pick<JournalQuestion, 'order'> & { readonly filter: JournalFilter };

/** Entries that fit, in order, from a place on; between the slices of the journal others have their turn. */
export async function* fittingEntries(
  records: RecordStore,
  { fromMs, toMs, order, filter }: Asked,
  from: JournalPlace | null,
): AsyncGenerator<JournalEntry, undefined> {
  const fits = fitting(filter);
  let after = from;
  for (;;) {
    const slice = await records.alarmEntries({ fromMs, toMs, order, after, limit: SLICE });
    yield* slice.filter(fits);
    after = slice.at(-1) ?? null;
    if (slice.length < SLICE || after === null) return;
    await setImmediate();
  }
}

/**
 * A page of the newest entries that fit.
 *
 * @throws Fault REQUEST_INVALID for an `after` that no page gave
 */
export async function journalPage(
  records: RecordStore,
  asked: TimeRange & { readonly filter: JournalFilter; readonly after?: string; readonly limit: number },
  signal: AbortSignal,
): Promise<JournalPage> {
  const { after, limit, ...range } = asked;
  const entries: JournalEntry[] = [];
  const place = after === undefined ? null : placeFrom(after);
  for await (const entry of fittingEntries(records, { ...range, order: 'newest-first' }, place)) {
    signal.throwIfAborted();
    // One more than asked tells that there is a next page.
    if (entries.length === limit) return { entries, next: textOf(entries.at(-1)) };
    entries.push(entry);
  }
  return { entries, next: null };
}

const EXACT_KEYS = ['line', 'machine', 'alarm', 'priority', 'to', 'by'] as const;

function fitting(filter: JournalFilter): (entry: JournalEntry) => boolean {
  const { text = '', ...exact } = filter;
  const wanted = text.toLowerCase();
  const keys = EXACT_KEYS.filter((key) => exact[key] !== undefined);
  return (entry) =>
    keys.every((key) => (entry[key] ?? '') === exact[key]) &&
    (wanted === '' || wordsOf(entry).includes(wanted));
}

function wordsOf({ alarm, machine, subject, code, from, to, by, reason }: JournalEntry): string {
  return [alarm, machine, subject, code, from, to, by, reason].join(' ').toLowerCase();
}

function textOf(place: JournalPlace | undefined): string | null {
  return place === undefined ? null : `${place.timeMs}~${place.id}`;
}

function placeFrom(text: string): JournalPlace {
  const found = /^(\d{1,16}(?:\.\d{1,9})?)~(\d{1,16})$/.exec(text);
  if (found !== null) return { timeMs: Number(found[1]), id: Number(found[2]) };
  throw new Fault('REQUEST_INVALID', {
    subject: 'query.after',
    got: gotText(text),
    expected: 'the "next" of a page',
    remedy: 'leave it out for the newest entries',
  });
}
