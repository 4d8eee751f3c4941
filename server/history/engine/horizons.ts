import type { SeriesId } from '../../ports/sample-store.ts';
import { numberIn, type SqliteFile } from './sqlite-file.ts';

/**
 * From when on each series still has its samples. What comes later than retention is not taken any more: it
 * would void the rollups of a day whose samples are gone.
 */
export interface Horizons {
  rawFromMs(series: SeriesId): number;
  /** Inside the transaction that drops what is before; `reload` after it was undone. */
  raise(series: SeriesId, rawFromMs: number): void;
  reload(): void;
}

export function openHorizons(file: SqliteFile): Horizons {
  const bySeries = new Map<SeriesId, number>();
  const reload = (): void => {
    bySeries.clear();
    for (const row of file.all('SELECT series, raw_from_ms FROM horizon')) {
      bySeries.set(numberIn(row, 'series'), numberIn(row, 'raw_from_ms'));
    }
  };
  reload();
  return {
    rawFromMs: (series) => bySeries.get(series) ?? 0,
    raise(series, rawFromMs) {
      file.run('INSERT OR REPLACE INTO horizon VALUES (?, ?)', series, rawFromMs);
      bySeries.set(series, rawFromMs);
    },
    reload,
  };
}
