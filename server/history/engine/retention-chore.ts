import type { SeriesId } from '../../ports/sample-store.ts';
import { chunkId, DAY_MINUTES, DAY_MS, dayId, dayOf, HOUR_MS, MINUTE_MS } from './blocks.ts';
import type { Catalogue } from './catalogue.ts';
import type { Chore } from './chore.ts';
import type { ChunkTable } from './chunk-table.ts';
import type { Reach } from './crash-point.ts';
import type { Horizons } from './horizons.ts';
import type { Pending } from './pending.ts';
import { horizonOf, type Retention } from './retention.ts';
import { pragma } from './schema.ts';
import { numberIn, numberOrNullIn, type SqliteFile } from './sqlite-file.ts';

export interface RetentionChoreParts {
  readonly file: SqliteFile;
  readonly catalogue: Catalogue;
  readonly chunks: ChunkTable;
  readonly pending: Pending;
  readonly horizons: Horizons;
  readonly retention: Retention;
  readonly nowMs: () => number;
  readonly tickMs: () => number;
  readonly reach: Reach;
}

const LOOK_EVERY_MS = HOUR_MS;
/** Of one series in one go: deleting them takes some 10 ms. */
const MOST_DAYS_AT_ONCE = 32;
/** Series looked up in one go: some milliseconds. */
const MOST_LOOKS_AT_ONCE = 200;

/** Drops what is older than its class is kept, then the oldest days while the file is too large. */
export function newRetentionChore(parts: RetentionChoreParts): Chore {
  let work: Generator<void> | null = null;
  let nextLookMs = 0;
  return {
    step(isForced) {
      if (work === null) {
        if (!isForced && parts.tickMs() < nextLookMs) return false;
        nextLookMs = parts.tickMs() + LOOK_EVERY_MS;
        work = dropped(parts);
      }
      const isOver = work.next().done === true;
      if (isOver) work = null;
      return !isOver;
    },
    abandon() {
      work = null;
      parts.horizons.reload();
    },
  };
}

function* dropped(parts: RetentionChoreParts): Generator<void> {
  const nowMs = yield* trustedNow(parts);
  for (const definition of parts.catalogue.all()) {
    if (definition.validToMs !== null) continue;
    const horizon = horizonOf(definition, parts.retention, nowMs);
    if (horizon.rawMs > 0) yield* rawDropped(parts, definition.series, dayOf(horizon.rawMs));
    if (horizon.rollupsMs > 0) yield* rollupsDropped(parts, definition.series, dayOf(horizon.rollupsMs));
  }
  yield* sizeReduced(parts);
}

/**
 * A clock that jumps forward must not cost the past: time has only passed if most series have samples of it.
 * The middle one of the newest of each series says so.
 */
function* trustedNow({ catalogue, chunks, nowMs }: RetentionChoreParts): Generator<void, number> {
  const newest: number[] = [];
  for (const [i, id] of seriesOf(catalogue).entries()) {
    const chunk = chunks.lastStartingAtOrBefore(id, Infinity);
    if (chunk !== null) newest.push((chunk.minute + chunk.spanMinutes) * MINUTE_MS);
    if (i % MOST_LOOKS_AT_ONCE === 0) yield;
  }
  newest.sort((a, b) => a - b);
  return Math.min(nowMs(), newest[newest.length >> 1] ?? 0);
}

/** Only days that are rolled up, and only when no late sample of them waits to be sealed. */
function* rawDropped(parts: RetentionChoreParts, series: SeriesId, beforeDay: number): Generator<void> {
  const { file, chunks, horizons, pending, reach } = parts;
  for (;;) {
    const oldest = oldestDay(file, series);
    if (oldest === null || oldest >= beforeDay) return;
    const day = Math.min(beforeDay, firstNotRolledUp(file, series), oldest + MOST_DAYS_AT_ONCE);
    const waiting = pending.of(series).timeMs[0];
    if (day <= oldest || (waiting !== undefined && waiting < day * DAY_MS)) return;
    file.transact(() => {
      const [from, to] = [chunkId(series, 0), chunkId(series, day * DAY_MINUTES)];
      file.run('DELETE FROM chunk WHERE id >= ? AND id < ?', from, to);
      horizons.raise(series, day * DAY_MS);
    });
    chunks.forget();
    reach('retention-durable');
    yield;
  }
}

function* rollupsDropped(
  { file }: RetentionChoreParts,
  series: SeriesId,
  beforeDay: number,
): Generator<void> {
  const [from, to] = [dayId(series, 0), dayId(series, beforeDay)];
  if (file.first('SELECT 1 FROM rollup_1m WHERE id >= ? AND id < ? LIMIT 1', from, to) === null) return;
  file.transact(() => {
    file.run('DELETE FROM rollup_1m WHERE id >= ? AND id < ?', from, to);
    file.run('DELETE FROM rollup_1h WHERE id >= ? AND id < ?', from, to);
  });
  yield;
}

function* sizeReduced(parts: RetentionChoreParts): Generator<void> {
  const { file, catalogue, retention } = parts;
  while (retention.mostBytes !== null && usedBytes(file) > retention.mostBytes) {
    const oldest = yield* oldestDayOfAll(parts);
    // Today's samples stay, however small the limit is.
    if (oldest >= dayOf(yield* trustedNow(parts)) - 1) return;
    for (const id of seriesOf(catalogue)) yield* rawDropped(parts, id, oldest + 1);
    if ((yield* oldestDayOfAll(parts)) <= oldest) return;
  }
}

/** Infinity when no series has a chunk. */
function* oldestDayOfAll({ file, catalogue }: RetentionChoreParts): Generator<void, number> {
  let oldest = Infinity;
  for (const [i, id] of seriesOf(catalogue).entries()) {
    oldest = Math.min(oldest, oldestDay(file, id) ?? Infinity);
    if (i % MOST_LOOKS_AT_ONCE === 0) yield;
  }
  return oldest;
}

function seriesOf(catalogue: Catalogue): readonly SeriesId[] {
  return [...new Set(catalogue.all().map((definition) => definition.series))];
}

/** Pages in use: those that were freed are filled again before the file grows. */
function usedBytes(file: SqliteFile): number {
  return (pragma(file, 'page_count') - pragma(file, 'freelist_count')) * pragma(file, 'page_size');
}

function oldestDay(file: SqliteFile, series: SeriesId): number | null {
  const sql = 'SELECT min(id) AS id FROM chunk WHERE id >= ? AND id < ?';
  const row = file.first(sql, chunkId(series, 0), chunkId(series + 1, 0));
  const id = row === null ? null : numberOrNullIn(row, 'id');
  return id === null ? null : Math.floor((id - chunkId(series, 0)) / DAY_MINUTES);
}

function firstNotRolledUp(file: SqliteFile, series: SeriesId): number {
  const sql = 'SELECT id FROM changed_day WHERE id >= ? AND id < ? ORDER BY id LIMIT 1';
  const row = file.first(sql, dayId(series, 0), dayId(series + 1, 0));
  return row === null ? Infinity : numberIn(row, 'id') - dayId(series, 0);
}
