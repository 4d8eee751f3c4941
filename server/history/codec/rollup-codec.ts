import { emptyEntries, firstEntries, type Entries } from '../entries.ts';
import { at } from '../samples.ts';
import { newSink, putVarint, takeVarint, written, type ByteSource } from './bytes.ts';
import { fillIntegers, putPackedIntegers } from './integer-column.ts';
import { openedBytes, sealedBytes } from './sealed-bytes.ts';
import { fillValues, putValues } from './value-column.ts';

const ROLLUP_FORMAT = 2;

const FIRST_IS_KNOWN = 1;
const LAST_IS_KNOWN = 2;
const LAST_IS_UNCERTAIN = 4;

/**
 * Rollup entries of one day as bytes. Starts are counted in widths, and what mostly equals something else is
 * kept as its difference from it, so that it costs next to nothing: the first value of a minute is nearly always
 * its first known one.
 */
export function encodedRollup(entries: Entries, widthMs: number): Uint8Array {
  const { startMs, firstTimeMs, lastTimeMs } = entries;
  const sink = newSink(startMs.length * 8 + 64);
  const putEach = (code: (i: number) => number): void =>
    putPackedIntegers(
      sink,
      startMs.map((_, i) => code(i)),
    );
  putVarint(sink, startMs.length);
  putVarint(sink, widthMs);
  putEach((i) => (startMs[i] ?? 0) / widthMs);
  putEach((i) => entries.count[i] ?? 0);
  putEach((i) => (firstTimeMs[i] ?? 0) - (startMs[i] ?? 0));
  putEach((i) => (startMs[i] ?? 0) + widthMs - (lastTimeMs[i] ?? 0));
  putEach((i) => (lastTimeMs[i] ?? 0) - (firstTimeMs[i] ?? 0) - (entries.coveredMs[i] ?? 0));
  putEach((i) => entries.uncertainMs[i] ?? 0);
  putEach((i) => flagsOf(entries, i));
  for (const column of VALUE_COLUMNS) putValues(sink, entries[column], putPackedIntegers);
  return sealedBytes(ROLLUP_FORMAT, written(sink));
}

const VALUE_COLUMNS = ['firstKnown', 'lastKnown', 'min', 'max', 'integral'] as const;

/**
 * Throws a RangeError when the bytes are damaged. The entries are views of `room`, if it is given and has room for
 * so many: a month of minutes is read without a new column for each day.
 */
export function decodedRollup(bytes: Uint8Array, room?: Entries): Entries {
  const source = openedBytes(ROLLUP_FORMAT, bytes);
  const length = takeVarint(source);
  const widthMs = takeVarint(source);
  const hasRoom = room !== undefined && room.startMs.length >= length;
  const entries = firstEntries(hasRoom ? room : emptyEntries(length), length);
  fillColumns(source, entries);
  unfold(entries, widthMs);
  return entries;
}

/** As they stand in the bytes; the flags in `lastUncertain`. */
function fillColumns(source: ByteSource, entries: Entries): void {
  fillIntegers(source, entries.startMs);
  fillIntegers(source, entries.count);
  fillIntegers(source, entries.firstTimeMs);
  fillIntegers(source, entries.lastTimeMs);
  fillIntegers(source, entries.coveredMs);
  fillIntegers(source, entries.uncertainMs);
  fillIntegers(source, entries.lastUncertain);
  for (const column of VALUE_COLUMNS) fillValues(source, entries[column]);
}

function unfold(entries: Entries, widthMs: number): void {
  const { startMs, firstTimeMs, lastTimeMs, coveredMs, lastUncertain } = entries;
  for (let i = 0; i < startMs.length; i++) {
    const start = at(startMs, i) * widthMs;
    const firstTime = start + at(firstTimeMs, i);
    const lastTime = start + widthMs - at(lastTimeMs, i);
    const flags = at(lastUncertain, i);
    startMs[i] = start;
    firstTimeMs[i] = firstTime;
    lastTimeMs[i] = lastTime;
    coveredMs[i] = lastTime - firstTime - at(coveredMs, i);
    entries.firstValue[i] = (flags & FIRST_IS_KNOWN) === 0 ? NaN : at(entries.firstKnown, i);
    entries.lastValue[i] = (flags & LAST_IS_KNOWN) === 0 ? NaN : at(entries.lastKnown, i);
    lastUncertain[i] = (flags & LAST_IS_UNCERTAIN) === 0 ? 0 : 1;
  }
}

/** A first or last sample that counts is the known one; one that does not is unknown. */
function flagsOf(entries: Entries, i: number): number {
  const first = entries.firstValue[i] === entries.firstKnown[i] ? FIRST_IS_KNOWN : 0;
  const last = entries.lastValue[i] === entries.lastKnown[i] ? LAST_IS_KNOWN : 0;
  return first | last | (entries.lastUncertain[i] === 1 ? LAST_IS_UNCERTAIN : 0);
}
