import { newSink, putBytes, putVarint, takeBytes, takeVarint, written } from './bytes.ts';
import { openedBytes, sealedBytes } from './sealed-bytes.ts';
import { putSqueezed, takeSqueezed } from './squeeze.ts';

const JOURNAL_FORMAT = 1;

/** One batch as it goes into the journal: `packed` is the buffer of `packed-batch.ts`. */
export interface JournalBatch {
  readonly writer: string;
  readonly sequence: number;
  readonly packed: ArrayBuffer;
}

/** All batches of one commit. */
export function encodedJournalRow(batches: readonly JournalBatch[]): Uint8Array {
  const sink = newSink(1024);
  putVarint(sink, batches.length);
  for (const { writer, sequence, packed } of batches) {
    const name = new TextEncoder().encode(writer);
    putVarint(sink, name.length);
    putBytes(sink, name);
    putVarint(sink, sequence);
    putSqueezed(sink, new Uint8Array(packed), 'mixed');
  }
  return sealedBytes(JOURNAL_FORMAT, written(sink));
}

/** Throws a RangeError when the bytes are damaged. */
export function decodedJournalRow(bytes: Uint8Array): readonly JournalBatch[] {
  const source = openedBytes(JOURNAL_FORMAT, bytes);
  return Array.from({ length: takeVarint(source) }, () => {
    const writer = new TextDecoder().decode(takeBytes(source, takeVarint(source)));
    const sequence = takeVarint(source);
    return { writer, sequence, packed: aligned(takeSqueezed(source)) };
  });
}

function aligned(bytes: Uint8Array): ArrayBuffer {
  const buffer = new ArrayBuffer(bytes.length);
  new Uint8Array(buffer).set(bytes);
  return buffer;
}
