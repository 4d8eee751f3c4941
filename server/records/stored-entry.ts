import { Fault } from '../contract/faults.ts';
import type { Authorship, RecordRange } from '../ports/record-store.ts';
import type { ColumnValue, Row } from './database.ts';

/** A compiled schema, as far as it is needed here. */
export interface Check<Entry> {
  Check(value: unknown): value is Entry;
  Errors(value: unknown): readonly { readonly instancePath: string; readonly message: string }[];
}

export const WRITTEN_COLUMNS = 'written_by, written_role, written_ms';

export function writtenValues({ actor, timeMs }: Authorship): readonly ColumnValue[] {
  return [actor.id, actor.role, timeMs];
}

/** Where a page begins, as time and id, and how many rows it has; SQLite takes a negative limit for none. */
export function pageValues({ after, limit = -1 }: RecordRange): readonly number[] {
  return [after?.timeMs ?? -Infinity, after?.id ?? -1, limit];
}

/** What every record says of its own writing. */
export function writtenIn(row: Row) {
  return {
    id: row['id'],
    writtenBy: { id: row['written_by'], role: row['written_role'] },
    writtenMs: row['written_ms'],
  };
}

/** The details column of a row; undefined when it is no JSON, which then fits nothing. */
export function detailsIn(row: Row): object {
  try {
    const parsed: unknown = JSON.parse(String(row['details']));
    return typeof parsed === 'object' && parsed !== null ? parsed : {};
  } catch {
    return {};
  }
}

/**
 * The entry as the contract has it. A file outlives the program that wrote it and can be edited by others, so
 * what it holds is believed only when it fits.
 */
export function expectFit<Entry>(check: Check<Entry>, entry: unknown, subject: string): Entry {
  if (check.Check(entry)) return entry;
  const [first] = check.Errors(entry);
  throw new Fault('RECORDS_DAMAGED', {
    subject: `${subject}${first?.instancePath ?? ''}`,
    got: JSON.stringify(entry).slice(0, 200),
    expected: first?.message ?? 'what the contract says',
    remedy: 'restore the records from a backup, or ask for a time range without this entry',
  });
}
