import { crc32 } from 'node:zlib';
import { putByte, putBytes, newSink, written, type ByteSource } from './bytes.ts';

const CHECK_BYTES = 4;
const HEADER_BYTES = 1 + CHECK_BYTES;

/** Puts format number and CRC-32 (ISO 3309, as in zlib), lowest byte first, before the bytes. */
export function sealedBytes(format: number, body: Uint8Array): Uint8Array {
  const sink = newSink(body.length + HEADER_BYTES);
  putByte(sink, format);
  const check = crc32(body);
  for (let b = 0; b < CHECK_BYTES; b++) putByte(sink, (check >>> (8 * b)) & 0xff);
  putBytes(sink, body);
  return written(sink);
}

/** The body, ready to be read; throws a RangeError when format or check do not fit. */
export function openedBytes(format: number, bytes: Uint8Array): ByteSource {
  if (bytes[0] !== format) throw new RangeError(`format is ${bytes[0]}, not ${format}`);
  const body = bytes.subarray(HEADER_BYTES);
  let check = 0;
  for (let b = CHECK_BYTES; b >= 1; b--) check = check * 0x100 + (bytes[b] ?? 0);
  if (crc32(body) !== check) throw new RangeError('checksum does not fit the bytes');
  return { bytes: body, at: 0 };
}
