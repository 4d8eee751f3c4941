import { emptyEntries, type Entries } from '../entries.ts';
import { newSink, putVarint, takeVarint, written } from './bytes.ts';
import { putIntegers, takeIntegers } from './integer-column.ts';
import { openedBytes, sealedBytes } from './sealed-bytes.ts';
import { putValues, takeValues } from './value-column.ts';

const ROLLUP_FORMAT = 1;

/**
 * Rollup entries of one day as bytes. Starts are counted in widths, and what mostly equals something else is
 * kept as its difference from it, so that it costs next to nothing: the first value of a minute is nearly always
 * its first known one.
 */
export function encodedRollup(entries: Entries, widthMs: number): Uint8Array {
  const { startMs } = entries;
  const sink = newSink(startMs.length * 8 + 64);
  putVarint(sink, startMs.length);
  putVarint(sink, widthMs);
  putIntegers(
    sink,
    startMs.map((start) => start / widthMs),
  );
  putIntegers(sink, entries.count);
  putIntegers(
    sink,
    entries.firstTimeMs.map((time, i) => time - (startMs[i] ?? 0)),
  );
  putIntegers(
    sink,
    entries.lastTimeMs.map((time, i) => (startMs[i] ?? 0) + widthMs - time),
  );
  putIntegers(
    sink,
    entries.coveredMs.map(
      (covered, i) => (entries.lastTimeMs[i] ?? 0) - (entries.firstTimeMs[i] ?? 0) - covered,
    ),
  );
  putValues(sink, entries.firstKnown);
  putValues(sink, entries.lastKnown);
  putValues(sink, entries.min);
  putValues(sink, entries.max);
  putIntegers(sink, sameness(entries.firstValue, entries.firstKnown));
  putIntegers(sink, sameness(entries.lastValue, entries.lastKnown));
  putValues(sink, entries.integral);
  return sealedBytes(ROLLUP_FORMAT, written(sink));
}

/** Throws a RangeError when the bytes are damaged. */
export function decodedRollup(bytes: Uint8Array): Entries {
  const source = openedBytes(ROLLUP_FORMAT, bytes);
  const length = takeVarint(source);
  const widthMs = takeVarint(source);
  const integers = (): Float64Array => takeIntegers(source, length);
  const startMs = integers().map((start) => start * widthMs);
  const count = integers();
  const firstTimeMs = integers().map((time, i) => (startMs[i] ?? 0) + time);
  const lastTimeMs = integers().map((time, i) => (startMs[i] ?? 0) + widthMs - time);
  const coveredMs = integers().map((short, i) => (lastTimeMs[i] ?? 0) - (firstTimeMs[i] ?? 0) - short);
  const firstKnown = takeValues(source, length);
  const lastKnown = takeValues(source, length);
  const min = takeValues(source, length);
  const max = takeValues(source, length);
  const firstValue = integers().map((isSame, i) => (isSame === 1 ? (firstKnown[i] ?? NaN) : NaN));
  const lastValue = integers().map((isSame, i) => (isSame === 1 ? (lastKnown[i] ?? NaN) : NaN));
  const integral = takeValues(source, length);
  const times = { startMs, firstTimeMs, lastTimeMs, coveredMs };
  return {
    ...emptyEntries(0),
    ...times,
    count,
    firstKnown,
    lastKnown,
    min,
    max,
    firstValue,
    lastValue,
    integral,
  };
}

/** 1 where the sample's value counts, and is then the known one; 0 where it is unknown. */
function sameness(values: Float64Array, known: Float64Array): Float64Array {
  return values.map((value, i) => (value === known[i] ? 1 : 0));
}
