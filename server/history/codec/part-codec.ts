import type { Samples } from '../samples.ts';
import { newSink, putVarint, takeVarint, written } from './bytes.ts';
import { putRuns, takeRuns } from './run-column.ts';
import { openedBytes, sealedBytes } from './sealed-bytes.ts';
import { putTimes, takeTimes } from './time-column.ts';
import { putValues, takeValues } from './value-column.ts';

const PART_FORMAT = 1;

/** Samples of one series as bytes; times are whole milliseconds, not negative. */
export function encodedPart(samples: Samples): Uint8Array {
  const sink = newSink(samples.timeMs.length * 2 + 64);
  putVarint(sink, samples.timeMs.length);
  putTimes(sink, samples.timeMs);
  putValues(sink, samples.value);
  putRuns(sink, samples.status);
  putRuns(sink, samples.reason);
  return sealedBytes(PART_FORMAT, written(sink));
}

/** Throws a RangeError when the bytes are damaged. */
export function decodedPart(bytes: Uint8Array): Samples {
  const source = openedBytes(PART_FORMAT, bytes);
  const length = takeVarint(source);
  return {
    timeMs: takeTimes(source, length),
    value: takeValues(source, length),
    status: takeRuns(source, length),
    reason: takeRuns(source, length),
  };
}
