import type { SeriesId } from '../../ports/sample-store.ts';
import { DAY_MINUTES, dayId, MINUTE_MS } from './blocks.ts';
import type { SqliteFile } from './sqlite-file.ts';

/**
 * Which days changed: what was computed from a day's samples is void, and is computed anew when the day has come to
 * rest.
 */
export interface ChangedDays {
  /** Inside the transaction that changes a chunk of the day. */
  mark(series: SeriesId, minute: number): void;
  /** Inside the transaction that writes the day's rollups. */
  unmark(day: number): void;
  /** Rises with each change of the day. */
  changesOf(day: number): number;
  /** After a transaction that was undone. */
  forget(): void;
}

/** A mark may be this much older than the change: sealing writes hundreds of chunks of the same days. */
const MARK_EVERY_MS = MINUTE_MS;
/** The days that are being recorded are few; more than these are a backfill, and are marked with each change. */
const MOST_REMEMBERED = 20_000;

export function newChangedDays(file: SqliteFile, nowMs: () => number): ChangedDays {
  const counts = new Map<number, number>();
  const markedMs = new Map<number, number>();
  return {
    mark(series, minute) {
      const day = dayId(series, Math.floor(minute / DAY_MINUTES));
      counts.set(day, (counts.get(day) ?? 0) + 1);
      const now = Math.round(nowMs());
      if (Math.abs(now - (markedMs.get(day) ?? -Infinity)) < MARK_EVERY_MS) return;
      file.run('INSERT OR REPLACE INTO changed_day VALUES (?, ?)', day, now);
      file.run('DELETE FROM rollup_1m WHERE id = ?', day);
      file.run('DELETE FROM rollup_1h WHERE id = ?', day);
      if (markedMs.size >= MOST_REMEMBERED) markedMs.clear();
      markedMs.set(day, now);
    },
    unmark(day) {
      markedMs.delete(day);
      file.run('DELETE FROM changed_day WHERE id = ?', day);
    },
    changesOf: (day) => counts.get(day) ?? 0,
    forget: () => markedMs.clear(),
  };
}
