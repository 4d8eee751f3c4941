import type { SeriesId } from '../../ports/sample-store.ts';
import { decodedRollup, encodedRollup } from '../codec/rollup-codec.ts';
import { DAY_MINUTES, dayId, HOUR_MS, MINUTE_MS, type RollupWidthMs } from './blocks.ts';
import { emptyEntries, type Entries } from '../entries.ts';
import { bytesIn, type SqliteFile } from './sqlite-file.ts';

/**
 * Minutes and hours of each series and day. A row stands for exactly the day's chunks: whoever changes a chunk
 * deletes the row in the same transaction, so a row that is there is true.
 */
export interface RollupTable {
  /** Null when there is none, or when it is damaged, which is reported. Valid until the next `read`. */
  read(series: SeriesId, day: number, widthMs: RollupWidthMs): Entries | null;
  put(series: SeriesId, day: number, entries: { readonly minutes: Entries; readonly hours: Entries }): void;
}

export type RollupDamaged = (table: string, id: number, because: string) => void;

export function openRollupTable(file: SqliteFile, damaged: RollupDamaged): RollupTable {
  const room = emptyEntries(DAY_MINUTES);
  return {
    read(series, day, widthMs) {
      const id = dayId(series, day);
      const table = widthMs === MINUTE_MS ? 'rollup_1m' : 'rollup_1h';
      const row = file.first(`SELECT data FROM ${table} WHERE id = ?`, id);
      if (row === null) return null;
      try {
        return decodedRollup(bytesIn(row, 'data'), room);
      } catch (error) {
        damaged(table, id, String(error));
        return null;
      }
    },
    put(series, day, { minutes, hours }) {
      const id = dayId(series, day);
      file.run('INSERT OR REPLACE INTO rollup_1m VALUES (?, ?)', id, encodedRollup(minutes, MINUTE_MS));
      file.run('INSERT OR REPLACE INTO rollup_1h VALUES (?, ?)', id, encodedRollup(hours, HOUR_MS));
    },
  };
}
