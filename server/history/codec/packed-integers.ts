import {
  putByte,
  putBytes,
  putSigned,
  takeByte,
  takeBytes,
  takeSigned,
  type ByteSink,
  type ByteSource,
} from './bytes.ts';

const BLOCK = 128;
/** Bits of one plane: with up to seven left over from the byte before they fit 32-bit operations. */
const PLANE_BITS = 24;
const PLANE_WEIGHT = 2 ** PLANE_BITS;
const MOST_BITS = 53;

/**
 * Whole numbers in as many bits as the largest of each 128 needs above the least of them. Larger than a Huffman code
 * where the numbers are noise, and read several times as fast: right for what is read by the month.
 */
export function putPacked(sink: ByteSink, numbers: Float64Array): void {
  for (let from = 0; from < numbers.length; from += BLOCK)
    putBlock(sink, numbers.subarray(from, from + BLOCK));
}

export function takePacked(source: ByteSource, numbers: Float64Array): void {
  for (let from = 0; from < numbers.length; from += BLOCK) {
    fillBlock(source, numbers, { from, to: Math.min(from + BLOCK, numbers.length) });
  }
}

/** What `putPacked` would write, roughly, without writing it. */
export function packedBits(numbers: Float64Array): number {
  let bits = 0;
  for (let from = 0; from < numbers.length; from += BLOCK) {
    const block = numbers.subarray(from, from + BLOCK);
    const { least, most } = rangeOf(block);
    bits += bitsOf(most - least) * block.length;
  }
  return bits;
}

function putBlock(sink: ByteSink, numbers: Float64Array): void {
  const { least, most } = rangeOf(numbers);
  const bits = bitsOf(most - least);
  putSigned(sink, least);
  putByte(sink, bits);
  let heights = numbers.map((number) => number - least);
  for (let rest = bits; rest > 0; rest -= PLANE_BITS) {
    putPlane(sink, heights, Math.min(rest, PLANE_BITS));
    heights = heights.map((height) => Math.floor(height / PLANE_WEIGHT));
  }
}

/** The lowest `bits` of each number, lowest bit first. */
function putPlane(sink: ByteSink, numbers: Float64Array, bits: number): void {
  const mask = 2 ** bits - 1;
  const bytes = new Uint8Array(Math.ceil((numbers.length * bits) / 8));
  let [left, leftBits, at] = [0, 0, 0];
  for (const number of numbers) {
    left |= ((number % PLANE_WEIGHT) & mask) << leftBits;
    leftBits += bits;
    for (; leftBits >= 8; leftBits -= 8) {
      bytes[at++] = left & 0xff;
      left >>>= 8;
    }
  }
  if (leftBits > 0) bytes[at] = left;
  putBytes(sink, bytes);
}

interface Part {
  readonly from: number;
  readonly to: number;
}

function fillBlock(source: ByteSource, numbers: Float64Array, part: Part): void {
  const least = takeSigned(source);
  const bits = takeByte(source);
  if (bits > MOST_BITS) throw new RangeError(`packed integers of ${bits} bits, not at most ${MOST_BITS}`);
  if (bits > 0 && bits <= PLANE_BITS) return fillPlane(source, numbers, { ...part, bits, least });
  numbers.fill(least, part.from, part.to);
  let weight = 1;
  for (let rest = bits; rest > 0; rest -= PLANE_BITS) {
    addPlane(source, numbers, { ...part, bits: Math.min(rest, PLANE_BITS), weight });
    weight *= PLANE_WEIGHT;
  }
}

interface Plane extends Part {
  readonly bits: number;
  readonly least: number;
}

/** The only plane there is, which is nearly always so: a month of minutes goes through this loop. */
function fillPlane(source: ByteSource, numbers: Float64Array, { from, to, bits, least }: Plane): void {
  const bytes = takeBytes(source, Math.ceil(((to - from) * bits) / 8));
  const mask = (1 << bits) - 1;
  let bitsAt = 0;
  for (let i = from; i < to; i++) {
    numbers[i] = least + ((windowAt(bytes, bitsAt >>> 3) >>> (bitsAt & 7)) & mask);
    bitsAt += bits;
  }
}

/** The next planes of larger numbers, each with its weight. */
function addPlane(
  source: ByteSource,
  numbers: Float64Array,
  { from, to, bits, weight }: Omit<Plane, 'least'> & { readonly weight: number },
): void {
  const bytes = takeBytes(source, Math.ceil(((to - from) * bits) / 8));
  const mask = (1 << bits) - 1;
  let bitsAt = 0;
  for (let i = from; i < to; i++) {
    const part = (windowAt(bytes, bitsAt >>> 3) >>> (bitsAt & 7)) & mask;
    numbers[i] = (numbers[i] ?? 0) + part * weight;
    bitsAt += bits;
  }
}

/** Four bytes, lowest first; 0 beyond the end. */
function windowAt(bytes: Uint8Array, at: number): number {
  return (
    (bytes[at] ?? 0) |
    ((bytes[at + 1] ?? 0) << 8) |
    ((bytes[at + 2] ?? 0) << 16) |
    ((bytes[at + 3] ?? 0) << 24)
  );
}

function rangeOf(numbers: Float64Array): { readonly least: number; readonly most: number } {
  let least = numbers[0] ?? 0;
  let most = least;
  for (const number of numbers) {
    if (number < least) least = number;
    if (number > most) most = number;
  }
  return { least, most };
}

function bitsOf(number: number): number {
  let bits = 0;
  for (let rest = number; rest >= 1; rest = Math.floor(rest / 2)) bits++;
  return bits;
}
