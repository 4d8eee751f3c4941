import { bundled, partsOfChunk, type PartBytes } from '../codec/chunk-codec.ts';
import { decodedPart } from '../codec/part-codec.ts';
import { MINUTE_MS, minuteOfChunk } from '../engine/blocks.ts';
import { bytesIn, numberIn, type Row, type SqliteFile } from '../engine/sqlite-file.ts';
import { isAscending, type Samples } from '../samples.ts';

/** What is left of a chunk without its damaged parts; null when nothing is. */
export function soundParts(
  file: SqliteFile,
  id: number,
): { readonly span: number; readonly n: number; readonly data: Uint8Array } | null {
  const row = file.first('SELECT * FROM chunk WHERE id = ?', id);
  if (row === null) return null;
  const parts = partsOrNone(bytesIn(row, 'data')).flatMap((part) => {
    const samples = provedPart(row, part.bytes);
    return samples === null ? [] : [{ ...part, n: samples.timeMs.length }];
  });
  if (parts.length === 0) return null;
  return {
    span: numberIn(row, 'span'),
    n: parts.reduce((sum, part) => sum + part.n, 0),
    data: bundled(parts),
  };
}

function partsOrNone(data: Uint8Array): readonly PartBytes[] {
  try {
    return partsOfChunk(data);
  } catch {
    return [];
  }
}

function provedPart(row: Row, bytes: Uint8Array): Samples | null {
  try {
    const samples = decodedPart(bytes);
    expectPlace(row, samples);
    return samples;
  } catch {
    return null;
  }
}

/** Throws a RangeError when the samples do not lie in their chunk's span, in ascending time. */
export function expectPlace(row: Row, { timeMs }: Samples): void {
  const startMs = minuteOfChunk(numberIn(row, 'id')) * MINUTE_MS;
  const endMs = startMs + numberIn(row, 'span') * MINUTE_MS;
  if (!isAscending(timeMs)) throw new RangeError('times do not ascend');
  if ((timeMs[0] ?? startMs) < startMs || (timeMs[timeMs.length - 1] ?? startMs) >= endMs) {
    throw new RangeError(`times lie outside ${startMs} to ${endMs}`);
  }
}
