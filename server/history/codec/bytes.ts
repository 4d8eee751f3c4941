/** Bytes being written; grows by doubling. */
export interface ByteSink {
  bytes: Uint8Array;
  length: number;
}

/** Bytes being read, and how far. */
export interface ByteSource {
  readonly bytes: Uint8Array;
  at: number;
}

const LONGEST_VARINT = 8;
/** Up to here bit operations hold, which are many times faster than division. */
const LARGEST_INT32 = 0x7fffffff;

export function newSink(capacity: number): ByteSink {
  return { bytes: new Uint8Array(Math.max(capacity, 16)), length: 0 };
}

export function written(sink: ByteSink): Uint8Array {
  return sink.bytes.subarray(0, sink.length);
}

export function putByte(sink: ByteSink, value: number): void {
  makeRoom(sink, 1);
  sink.bytes[sink.length++] = value;
}

export function putBytes(sink: ByteSink, bytes: Uint8Array): void {
  makeRoom(sink, bytes.length);
  sink.bytes.set(bytes, sink.length);
  sink.length += bytes.length;
}

/** A whole number from 0 to 2^53 in groups of seven bits, lowest first, high bit set on all but the last. */
export function putVarint(sink: ByteSink, value: number): void {
  makeRoom(sink, LONGEST_VARINT);
  const { bytes } = sink;
  let rest = value;
  while (rest > LARGEST_INT32) {
    bytes[sink.length++] = (rest % 0x80) | 0x80;
    rest = Math.floor(rest / 0x80);
  }
  while (rest >= 0x80) {
    bytes[sink.length++] = (rest & 0x7f) | 0x80;
    rest >>= 7;
  }
  bytes[sink.length++] = rest;
}

/** A whole number of either sign: 0, -1, 1, -2 ... become 0, 1, 2, 3 ... */
export function putSigned(sink: ByteSink, value: number): void {
  putVarint(sink, folded(value));
}

/** 0, -1, 1, -2, 2 ... become 0, 1, 2, 3, 4 ... */
export function folded(value: number): number {
  return value < 0 ? -2 * value - 1 : 2 * value;
}

/** Each number as a varint; one loop, because every reading goes through it. */
export function putVarints(sink: ByteSink, numbers: Float64Array): void {
  makeRoom(sink, numbers.length * LONGEST_VARINT);
  const { bytes } = sink;
  let at = sink.length;
  for (let i = 0; i < numbers.length; i++) {
    let rest = numbers[i] ?? 0;
    while (rest > LARGEST_INT32) {
      bytes[at++] = (rest % 0x80) | 0x80;
      rest = Math.floor(rest / 0x80);
    }
    while (rest >= 0x80) {
      bytes[at++] = (rest & 0x7f) | 0x80;
      rest >>= 7;
    }
    bytes[at++] = rest;
  }
  sink.length = at;
}

export function takeByte(source: ByteSource): number {
  const byte = source.bytes[source.at];
  if (byte === undefined) throw new RangeError(`encoded bytes end at ${source.bytes.length}`);
  source.at++;
  return byte;
}

export function takeBytes(source: ByteSource, length: number): Uint8Array {
  const end = source.at + length;
  if (end > source.bytes.length)
    throw new RangeError(`encoded bytes end at ${source.bytes.length}, not ${end}`);
  const bytes = source.bytes.subarray(source.at, end);
  source.at = end;
  return bytes;
}

export function takeVarint(source: ByteSource): number {
  let byte = takeByte(source);
  let value = byte & 0x7f;
  for (let weight = 0x80; byte >= 0x80; weight *= 0x80) {
    byte = takeByte(source);
    value += (byte & 0x7f) * weight;
  }
  return value;
}

export function takeSigned(source: ByteSource): number {
  return unfolded(takeVarint(source));
}

/** 0, 1, 2, 3, 4 ... become 0, -1, 1, -2, 2 ... */
export function unfolded(code: number): number {
  if (code <= LARGEST_INT32) return (code >>> 1) ^ -(code & 1);
  return code % 2 === 0 ? code / 2 : -(code + 1) / 2;
}

function makeRoom(sink: ByteSink, more: number): void {
  const needed = sink.length + more;
  if (needed <= sink.bytes.length) return;
  const grown = new Uint8Array(Math.max(needed, sink.bytes.length * 2));
  grown.set(sink.bytes.subarray(0, sink.length));
  sink.bytes = grown;
}
