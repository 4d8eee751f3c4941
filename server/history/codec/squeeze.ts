import { constants, deflateRawSync, inflateRawSync } from 'node:zlib';
import {
  putByte,
  putBytes,
  putVarint,
  takeByte,
  takeBytes,
  takeVarint,
  type ByteSink,
  type ByteSource,
} from './bytes.ts';

const STORED = 0;
const DEFLATED = 1;
/** Below this a Huffman table costs more than it saves. */
const SHORTEST_WORTH_IT = 32;

/**
 * Runs of equal bytes and a Huffman code, no search for longer matches: on noise of a sensor that search finds
 * nothing and spoils the code (0.88 against 0.76 bytes a reading at level 1, and twice the time).
 */
const COLUMN = { level: 1, strategy: constants.Z_RLE } as const;
/** Columns of a journal row repeat from tag to tag, so there the search pays. */
const MIXED = { level: 1 } as const;
/** The least that zlib takes. */
const LEAST_CHUNK = 64;

export function putSqueezed(sink: ByteSink, bytes: Uint8Array, kind: 'column' | 'mixed' = 'column'): void {
  const packed =
    bytes.length < SHORTEST_WORTH_IT ? bytes : deflateRawSync(bytes, kind === 'column' ? COLUMN : MIXED);
  const isWorthIt = packed.length < bytes.length;
  putByte(sink, isWorthIt ? DEFLATED : STORED);
  putVarint(sink, bytes.length);
  if (isWorthIt) putVarint(sink, packed.length);
  putBytes(sink, isWorthIt ? packed : bytes);
}

export function takeSqueezed(source: ByteSource): Uint8Array {
  const method = takeByte(source);
  const length = takeVarint(source);
  if (method === STORED) return takeBytes(source, length);
  if (method !== DEFLATED) throw new RangeError(`compression method ${method} is not 0 or 1`);
  // With one byte to spare zlib sees the end in its first buffer, and needs no second.
  const bytes = inflateRawSync(takeBytes(source, takeVarint(source)), {
    maxOutputLength: Math.max(length, 1),
    chunkSize: Math.max(length + 1, LEAST_CHUNK),
  });
  if (bytes.length !== length) throw new RangeError(`column holds ${bytes.length} bytes, not ${length}`);
  return bytes;
}
