import { setImmediate } from 'node:timers/promises';
import type { JournalEntry } from '../contract/alarm-journal.ts';
import type { RecordStore, TimeRange } from '../ports/record-store.ts';

/** Some ten milliseconds of reading; between two slices the clockwork has its turn. */
const SLICE = 1000;

/** The alarm journal of a time in ascending order, read so that nothing else waits for it. */
export async function journalOf(records: RecordStore, range: TimeRange): Promise<readonly JournalEntry[]> {
  const entries: JournalEntry[] = [];
  for (;;) {
    const after = entries.at(-1) ?? null;
    const slice = await records.alarmEntries({ ...range, order: 'oldest-first', after, limit: SLICE });
    entries.push(...slice);
    if (slice.length < SLICE) return entries;
    await setImmediate();
  }
}
