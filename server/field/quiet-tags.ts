import { instant, sourceTime, type DataValueLike } from './to-reading.ts';
import type { TagTable } from './tag-table.ts';

/** Now, by our clock and by the plant's. */
export interface Now {
  readonly nowMs: number;
  readonly clockOffsetMs: number;
}

/**
 * The tags whose last reading is so old that they have to be read again, by index: half of the allowed age has
 * passed since it arrived; or it is the first of this connection and was old already when the plant sent it, as
 * that of a contact is which has not moved for hours; or our clock was set back, and ages say nothing.
 */
export function quietTags(table: TagTable, now: Now): readonly number[] {
  const quiet: number[] = [];
  for (let index = 0; index < table.tags.length; index++) {
    if (table.isRefused[index] === 0 && isQuiet(table, index, now)) quiet.push(index);
  }
  return quiet;
}

function isQuiet(table: TagTable, index: number, { nowMs, clockOffsetMs }: Now): boolean {
  const allowedMs = (table.tags[index]?.staleAfterMs ?? Infinity) / 2;
  const ageMs = nowMs - (table.arrivalMs[index] ?? NaN);
  if (!(ageMs >= 0 && ageMs < allowedMs)) return true; // NaN, nothing has come yet, is quiet too.
  return isFirst(table, index) && nowMs + clockOffsetMs - (table.sourceMs[index] ?? NaN) >= allowedMs;
}

/**
 * The source time under which a value that was read again is handed on, or null when time has not moved.
 *
 * The plant's own source time, where it has moved. Where it has not, the value is held, and handing on the old
 * time would let a good value go stale: so it gets the time for which the plant has just vouched for it. That is
 * the last source time plus the time that passed at the plant's server between the two, and not simply the
 * server's present time: where the clock of a controller lags behind that of its server, a proof stamped with the
 * server's time would lie after the next real change and hide it. Only the first reading of a connection gets the
 * server's present time (without one, ours by the plant's clock), since it may be old for either reason.
 */
export function provenTimeMs(
  table: TagTable,
  index: number,
  read: { change: DataValueLike } & Now,
): number | null {
  const handedOnMs = table.sourceMs[index] ?? NaN;
  const sourceMs = sourceTime(read.change);
  const serverMs = instant(read.change.serverTimestamp) ?? NaN;
  if (Number.isNaN(handedOnMs)) return sourceMs ?? read.nowMs + read.clockOffsetMs;
  if (sourceMs !== null && sourceMs > handedOnMs) return sourceMs;

  const provenMs = isFirst(table, index)
    ? Number.isNaN(serverMs)
      ? read.nowMs + read.clockOffsetMs
      : serverMs
    : handedOnMs + passedMs(table, index, { serverMs, nowMs: read.nowMs });
  return provenMs > handedOnMs ? provenMs : null;
}

function passedMs(table: TagTable, index: number, read: { serverMs: number; nowMs: number }): number {
  const atServerMs = read.serverMs - (table.serverMs[index] ?? NaN);
  return atServerMs > 0 ? atServerMs : read.nowMs - (table.arrivalMs[index] ?? NaN);
}

function isFirst(table: TagTable, index: number): boolean {
  return table.firstSourceMs[index] === table.sourceMs[index];
}
