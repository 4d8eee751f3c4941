import type { SeriesId } from '../../ports/sample-store.ts';
import { encodedChunk } from '../codec/chunk-codec.ts';
import type { Samples } from '../samples.ts';
import { LATEST_MINUTE, blockStart, chunkId, DAY_MINUTES, minuteOfChunk, seriesOfChunk } from './blocks.ts';
import { newChangedDays, type ChangedDays } from './changed-days.ts';
import { newChunkReader, type ChunkPart } from './chunk-reader.ts';
import { numberIn, type Row, type SqliteFile } from './sqlite-file.ts';

/** A chunk as it stands in the file, without its samples. */
export interface ChunkEntry {
  readonly id: number;
  readonly minute: number;
  readonly spanMinutes: number;
  readonly count: number;
}

export interface ChunkTable {
  /** Chunks that overlap `[fromMinute, toMinute)`, ascending. */
  between(series: SeriesId, fromMinute: number, toMinute: number): readonly ChunkEntry[];
  lastStartingAtOrBefore(series: SeriesId, minute: number): ChunkEntry | null;
  firstEndingAfter(series: SeriesId, minute: number): ChunkEntry | null;
  /** All of its samples; those of a damaged part are left out and reported. */
  samples(chunk: ChunkEntry): Samples;
  /** The part of the chunk in which the time lies; empty, and reported, when it is damaged. */
  partAt(chunk: ChunkEntry, timeMs: number): ChunkPart;
  put(
    series: SeriesId,
    minute: number,
    content: { readonly spanMinutes: number; readonly samples: Samples },
  ): void;
  /** A damaged one goes to quarantine, where a person may still try to read it. */
  delete(chunk: ChunkEntry): void;
  /** Which days wait to be rolled up anew. */
  readonly changed: ChangedDays;
  /** After a transaction that was undone, or that changed chunks without this table. */
  forget(): void;
}

export interface ChunkTableOptions {
  readonly nowMs: () => number;
  readonly damaged: (chunk: ChunkEntry, because: string) => void;
}

const ENTRY = 'SELECT id, span, n FROM chunk';
const QUARANTINE = `INSERT INTO quarantine (origin, origin_id, span, n, because, data)
  SELECT 'chunk', id, span, n, ?, data FROM chunk WHERE id = ?`;

export function openChunkTable(file: SqliteFile, options: ChunkTableOptions): ChunkTable {
  const changed = newChangedDays(file, options.nowMs);
  const damagedBecause = new Map<number, string>();
  const reader = newChunkReader(file, (chunk, because) => {
    if (!damagedBecause.has(chunk.id)) options.damaged(chunk, because);
    damagedBecause.set(chunk.id, because);
  });
  return {
    ...entryQueries(file),
    samples: (chunk) => reader.samples(chunk),
    partAt: (chunk, timeMs) => reader.partAt(chunk, timeMs),
    put(series, minute, { spanMinutes, samples }) {
      const id = chunkId(series, minute);
      const sql = 'INSERT OR REPLACE INTO chunk VALUES (?, ?, ?, ?)';
      file.run(sql, id, spanMinutes, samples.timeMs.length, encodedChunk(samples));
      reader.forget();
      changed.mark(series, minute);
    },
    delete(chunk) {
      const because = damagedBecause.get(chunk.id);
      if (because !== undefined) file.run(QUARANTINE, because, chunk.id);
      damagedBecause.delete(chunk.id);
      file.run('DELETE FROM chunk WHERE id = ?', chunk.id);
      reader.forget();
      changed.mark(seriesOfChunk(chunk.id), chunk.minute);
    },
    changed,
    forget() {
      reader.forget();
      changed.forget();
    },
  };
}

function entryQueries(
  file: SqliteFile,
): Pick<ChunkTable, 'between' | 'lastStartingAtOrBefore' | 'firstEndingAfter'> {
  const lastStartingAtOrBefore = (series: SeriesId, minute: number): ChunkEntry | null => {
    const sql = `${ENTRY} WHERE id >= ? AND id <= ? ORDER BY id DESC LIMIT 1`;
    const row = file.first(sql, chunkId(series, 0), chunkId(series, Math.min(minute, LATEST_MINUTE)));
    return row === null ? null : entry(row);
  };
  return {
    between(series, fromMinute, toMinute) {
      const from = chunkId(series, blockStart(fromMinute, DAY_MINUTES));
      const rows = file.all(`${ENTRY} WHERE id >= ? AND id < ? ORDER BY id`, from, chunkId(series, toMinute));
      return rows.map(entry).filter((chunk) => chunk.minute + chunk.spanMinutes > fromMinute);
    },
    lastStartingAtOrBefore,
    firstEndingAfter(series, minute) {
      const covering = lastStartingAtOrBefore(series, minute);
      if (covering !== null && covering.minute + covering.spanMinutes > minute) return covering;
      const sql = `${ENTRY} WHERE id > ? AND id < ? ORDER BY id LIMIT 1`;
      const row = file.first(sql, chunkId(series, minute), chunkId(series + 1, 0));
      return row === null ? null : entry(row);
    },
  };
}

function entry(row: Row): ChunkEntry {
  const id = numberIn(row, 'id');
  return { id, minute: minuteOfChunk(id), spanMinutes: numberIn(row, 'span'), count: numberIn(row, 'n') };
}
