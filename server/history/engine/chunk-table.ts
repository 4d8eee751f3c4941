import type { SeriesId } from '../../ports/sample-store.ts';
import { decodedChunk, encodedChunk } from '../codec/chunk-codec.ts';
import { NO_SAMPLES, type Samples } from '../samples.ts';
import {
  LATEST_MINUTE,
  blockStart,
  chunkId,
  DAY_MINUTES,
  dayId,
  minuteOfChunk,
  seriesOfChunk,
} from './blocks.ts';
import { bytesIn, numberIn, type Row, type SqliteFile } from './sqlite-file.ts';

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
  /** Empty, and reported, when the chunk is damaged. */
  samples(chunk: ChunkEntry): Samples;
  put(
    series: SeriesId,
    minute: number,
    content: { readonly spanMinutes: number; readonly samples: Samples },
  ): void;
  /** A damaged one goes to quarantine, where a person may still try to read it. */
  delete(chunk: ChunkEntry): void;
  /** Rises with each change of the day's chunks. */
  changesOf(day: number): number;
}

export interface ChunkTableOptions {
  readonly nowMs: () => number;
  readonly damaged: (chunk: ChunkEntry, because: string) => void;
}

const ENTRY = 'SELECT id, span, n FROM chunk';
const QUARANTINE = `INSERT INTO quarantine (origin, origin_id, span, n, because, data)
  SELECT 'chunk', id, span, n, ?, data FROM chunk WHERE id = ?`;

export function openChunkTable(file: SqliteFile, options: ChunkTableOptions): ChunkTable {
  const changes = newChanges(file, options.nowMs);
  const damagedBecause = new Map<number, string>();
  return {
    ...entryQueries(file),
    samples(chunk) {
      const row = file.first('SELECT data FROM chunk WHERE id = ?', chunk.id);
      if (row === null) return NO_SAMPLES;
      try {
        return decodedChunk(bytesIn(row, 'data'));
      } catch (error) {
        if (!damagedBecause.has(chunk.id)) options.damaged(chunk, String(error));
        damagedBecause.set(chunk.id, String(error));
        return NO_SAMPLES;
      }
    },
    put(series, minute, { spanMinutes, samples }) {
      const data = encodedChunk(samples);
      const id = chunkId(series, minute);
      file.run(
        'INSERT OR REPLACE INTO chunk VALUES (?, ?, ?, ?)',
        id,
        spanMinutes,
        samples.timeMs.length,
        data,
      );
      changes.mark(series, minute);
    },
    delete(chunk) {
      const because = damagedBecause.get(chunk.id);
      if (because !== undefined) file.run(QUARANTINE, because, chunk.id);
      damagedBecause.delete(chunk.id);
      file.run('DELETE FROM chunk WHERE id = ?', chunk.id);
      changes.mark(seriesOfChunk(chunk.id), chunk.minute);
    },
    changesOf: (day) => changes.of(day),
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

/** Which days changed: what was computed from a day's samples is void, and is computed anew when it has come to rest. */
interface Changes {
  mark(series: SeriesId, minute: number): void;
  of(day: number): number;
}

function newChanges(file: SqliteFile, nowMs: () => number): Changes {
  const counts = new Map<number, number>();
  return {
    mark(series, minute) {
      const day = dayId(series, Math.floor(minute / DAY_MINUTES));
      counts.set(day, (counts.get(day) ?? 0) + 1);
      file.run('INSERT OR REPLACE INTO changed_day VALUES (?, ?)', day, Math.round(nowMs()));
      file.run('DELETE FROM rollup_1m WHERE id = ?', day);
      file.run('DELETE FROM rollup_1h WHERE id = ?', day);
    },
    of: (day) => counts.get(day) ?? 0,
  };
}

function entry(row: Row): ChunkEntry {
  const id = numberIn(row, 'id');
  return { id, minute: minuteOfChunk(id), spanMinutes: numberIn(row, 'span'), count: numberIn(row, 'n') };
}
