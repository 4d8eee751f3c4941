import { emptySamples, joinedSamples, samplesSlice, type Samples } from '../samples.ts';
import { newSink, putByte, putBytes, putVarint, takeByte, takeBytes, takeVarint, written } from './bytes.ts';
import { decodedPart, encodedPart } from './part-codec.ts';
import { openedBytes, sealedBytes } from './sealed-bytes.ts';

const BUNDLE_FORMAT = 2;
const DIRECTORY_FORMAT = 3;
/** About an hour of a tag polled each second: what is decoded to answer for one instant of a day. */
const MOST_SAMPLES_PER_PART = 4096;

/** A stretch of a chunk that is read without the others. */
export interface PartBytes {
  /** Of its first sample. */
  readonly firstMs: number;
  readonly bytes: Uint8Array;
}

/** Samples of one series as bytes; times are whole milliseconds, not negative. */
export function encodedChunk(samples: Samples): Uint8Array {
  const parts: PartBytes[] = [];
  for (let at = 0; at < samples.timeMs.length; at += MOST_SAMPLES_PER_PART) {
    const slice = samplesSlice(samples, at, at + MOST_SAMPLES_PER_PART);
    parts.push({ firstMs: slice.timeMs[0] ?? 0, bytes: encodedPart(slice) });
  }
  const [only] = parts;
  return parts.length === 1 && only !== undefined ? only.bytes : bundled(parts);
}

/** Parts one after the other, and before them where each begins. */
export function bundled(parts: readonly PartBytes[]): Uint8Array {
  const directory = newSink(parts.length * 12);
  putVarint(directory, parts.length);
  for (const { firstMs, bytes } of parts) {
    putVarint(directory, firstMs);
    putVarint(directory, bytes.length);
  }
  const sealed = sealedBytes(DIRECTORY_FORMAT, written(directory));
  const sink = newSink(parts.reduce((sum, { bytes }) => sum + bytes.length, sealed.length + 16));
  putByte(sink, BUNDLE_FORMAT);
  putVarint(sink, sealed.length);
  putBytes(sink, sealed);
  for (const { bytes } of parts) putBytes(sink, bytes);
  return written(sink);
}

/** The parts in ascending time, not decoded yet; throws a RangeError when the directory is damaged. */
export function partsOfChunk(bytes: Uint8Array): readonly PartBytes[] {
  if (bytes[0] !== BUNDLE_FORMAT) return [{ firstMs: 0, bytes }];
  const source = { bytes, at: 0 };
  takeByte(source);
  const directory = openedBytes(DIRECTORY_FORMAT, takeBytes(source, takeVarint(source)));
  return Array.from({ length: takeVarint(directory) }, () => {
    const firstMs = takeVarint(directory);
    return { firstMs, bytes: takeBytes(source, takeVarint(directory)) };
  });
}

/** All of it; throws a RangeError when any of it is damaged. */
export function decodedChunk(bytes: Uint8Array): Samples {
  const parts = partsOfChunk(bytes).map((part) => decodedPart(part.bytes));
  return parts.length === 0 ? emptySamples(0) : joinedSamples(parts);
}
