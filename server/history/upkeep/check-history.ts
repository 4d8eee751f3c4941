import { decodedChunk } from '../codec/chunk-codec.ts';
import { decodedJournalRow } from '../codec/journal-codec.ts';
import { decodedRollup } from '../codec/rollup-codec.ts';
import {
  chunkId,
  DAY_MINUTES,
  dayId,
  dayOfId,
  minuteOfChunk,
  seriesOfChunk,
  seriesOfDay,
} from '../engine/blocks.ts';
import { openHistoryFile } from '../engine/history-file.ts';
import { ownedFolder } from '../engine/owner-lock.ts';
import { bytesIn, numberIn, type Row, type SqliteFile } from '../engine/sqlite-file.ts';
import { expectPlace, soundParts } from './sound-parts.ts';

export interface Damage {
  readonly table: string;
  readonly id: number;
  readonly because: string;
}

export interface CheckResult {
  readonly chunks: number;
  readonly rollups: number;
  readonly journalRows: number;
  readonly damage: readonly Damage[];
  /** What SQLite itself finds wrong with its pages; only a backup helps against that. */
  readonly pages: readonly string[];
}

/**
 * Reads every chunk, rollup and journal row and proves each against its checksum and its place. With `repairs` what
 * is damaged goes to the table `quarantine`, rollups are built anew from their samples, and nothing else is touched;
 * no server may be recording then.
 */
export function checkHistory(folder: string, { repairs }: { readonly repairs: boolean }): CheckResult {
  const lock = repairs ? ownedFolder(folder) : null;
  try {
    const file = openHistoryFile(folder, { isReadOnly: !repairs });
    try {
      const result = checked(file);
      if (repairs) for (const damage of result.damage) file.transact(() => quarantine(file, damage));
      return result;
    } finally {
      file.close();
    }
  } finally {
    lock?.release();
  }
}

const TABLES = [
  { table: 'chunk', key: 'id', prove: proveChunk },
  { table: 'rollup_1m', key: 'id', prove: (row: Row) => void decodedRollup(bytesIn(row, 'data')) },
  { table: 'rollup_1h', key: 'id', prove: (row: Row) => void decodedRollup(bytesIn(row, 'data')) },
  { table: 'journal', key: 'seq', prove: (row: Row) => void decodedJournalRow(bytesIn(row, 'data')) },
] as const;

function checked(file: SqliteFile): CheckResult {
  const damage: Damage[] = [];
  const count = { chunk: 0, rollup_1m: 0, rollup_1h: 0, journal: 0 };
  for (const { table, key, prove } of TABLES) {
    for (const { key: id } of keysOf(file, table, key)) {
      count[table]++;
      try {
        const row = file.first(`SELECT * FROM ${table} WHERE ${key} = ?`, id);
        if (row !== null) prove(row);
      } catch (error) {
        damage.push({ table, id, because: error instanceof Error ? error.message : String(error) });
      }
    }
  }
  const pages = file.all('PRAGMA quick_check').map((row) => String(row['quick_check']));
  return {
    chunks: count.chunk,
    rollups: count.rollup_1m + count.rollup_1h,
    journalRows: count.journal,
    damage,
    pages: pages.filter((line) => line !== 'ok'),
  };
}

/** A portion at a time: millions of keys at once would need much memory. */
function* keysOf(file: SqliteFile, table: string, key: string): Generator<{ readonly key: number }> {
  let after = -1;
  for (;;) {
    const sql = `SELECT ${key} AS key FROM ${table} WHERE ${key} > ? ORDER BY ${key} LIMIT 1000`;
    const rows = file.all(sql, after);
    if (rows.length === 0) return;
    for (const row of rows) {
      after = numberIn(row, 'key');
      yield { key: after };
    }
  }
}

function proveChunk(row: Row): void {
  const samples = decodedChunk(bytesIn(row, 'data'));
  const count = samples.timeMs.length;
  if (count !== numberIn(row, 'n')) throw new RangeError(`holds ${count} samples, not ${numberIn(row, 'n')}`);
  expectPlace(row, samples);
}

function quarantine(file: SqliteFile, { table, id, because }: Damage): void {
  const key = table === 'journal' ? 'seq' : 'id';
  const sound = table === 'chunk' ? soundParts(file, id) : null;
  const span = table === 'chunk' ? 'span, n' : 'NULL, NULL';
  file.run(
    `INSERT INTO quarantine (origin, origin_id, span, n, because, data)
     SELECT ?, ${key}, ${span}, ?, data FROM ${table} WHERE ${key} = ?`,
    table,
    because,
    id,
  );
  file.run(`DELETE FROM ${table} WHERE ${key} = ?`, id);
  if (sound !== null) file.run('INSERT INTO chunk VALUES (?, ?, ?, ?)', id, sound.span, sound.n, sound.data);
  if (table !== 'journal') rollUpAnew(file, table === 'chunk' ? dayOfChunk(id) : id);
}

function dayOfChunk(id: number): number {
  return dayId(seriesOfChunk(id), Math.floor(minuteOfChunk(id) / DAY_MINUTES));
}

/** Only where samples are left: the rollups of a day whose samples have gone with retention stay. */
function rollUpAnew(file: SqliteFile, day: number): void {
  const from = chunkId(seriesOfDay(day), dayOfId(day) * DAY_MINUTES);
  const hasSamples = file.first(
    'SELECT 1 FROM chunk WHERE id >= ? AND id < ? LIMIT 1',
    from,
    from + DAY_MINUTES,
  );
  if (hasSamples === null) return;
  file.run('DELETE FROM rollup_1m WHERE id = ?', day);
  file.run('DELETE FROM rollup_1h WHERE id = ?', day);
  file.run('INSERT OR REPLACE INTO changed_day VALUES (?, 0)', day);
}
