import { packedBits, putPacked, takePacked } from './packed-integers.ts';
import {
  folded,
  newSink,
  putByte,
  putSigned,
  putVarint,
  putVarints,
  takeByte,
  takeSigned,
  takeVarint,
  unfolded,
  written,
  type ByteSink,
  type ByteSource,
} from './bytes.ts';
import { putSqueezed, takeSqueezed } from './squeeze.ts';

const CONSTANT = 0;
const ABOVE_LEAST = 1;
const DIFFERENCES = 2;
const PACKED_HEIGHTS = 3;
const PACKED_DIFFERENCES = 4;

/** Whole numbers beyond this are not folded without loss when their difference is doubled. */
export const LARGEST_INTEGER = 2 ** 50;

/**
 * A column of whole numbers up to +-2^50: one number if all are equal, else the height of each above the least,
 * or the difference of each from the one before; whichever has the lower entropy.
 */
export function putIntegers(sink: ByteSink, numbers: Float64Array): void {
  const { least, isConstant } = rangeOf(numbers);
  if (isConstant) {
    putByte(sink, CONSTANT);
    putSigned(sink, least);
    return;
  }
  const heights = asVarints(numbers, (number) => number - least);
  let before = numbers[0] ?? 0;
  const steps = asVarints(numbers, (number) => {
    const step = number - before;
    before = number;
    return folded(step);
  });
  const areStepsBetter = entropyBits(steps) < entropyBits(heights);
  putByte(sink, areStepsBetter ? DIFFERENCES : ABOVE_LEAST);
  putSigned(sink, areStepsBetter ? (numbers[0] ?? 0) : least);
  putSqueezed(sink, areStepsBetter ? steps : heights);
}

/** The same for columns that are to be read quickly: bits instead of a Huffman code. */
export function putPackedIntegers(sink: ByteSink, numbers: Float64Array): void {
  const { least, isConstant } = rangeOf(numbers);
  if (isConstant) {
    putByte(sink, CONSTANT);
    putSigned(sink, least);
    return;
  }
  const start = numbers[0] ?? 0;
  const factor = commonFactor(numbers);
  const multiples = numbers.map((number) => (number - start) / factor);
  const differences = multiples.map((multiple, i) => multiple - (multiples[i - 1] ?? 0));
  const areDifferencesBetter = packedBits(differences) < packedBits(multiples);
  putByte(sink, areDifferencesBetter ? PACKED_DIFFERENCES : PACKED_HEIGHTS);
  putSigned(sink, start);
  putVarint(sink, factor);
  putPacked(sink, areDifferencesBetter ? differences : multiples);
}

export function takeIntegers(source: ByteSource, length: number): Float64Array {
  const numbers = new Float64Array(length);
  fillIntegers(source, numbers);
  return numbers;
}

/** As `takeIntegers`, into a column that is there: as many as it has room for. */
export function fillIntegers(source: ByteSource, numbers: Float64Array): void {
  const method = takeByte(source);
  const start = takeSigned(source);
  if (method === CONSTANT) return void numbers.fill(start);
  if (method > PACKED_DIFFERENCES) throw new RangeError(`integer column method ${method} is not 0 to 4`);
  if (method > DIFFERENCES) return fillMultiples(source, numbers, { method, start });
  const codes = { bytes: takeSqueezed(source), at: 0 };
  if (method === ABOVE_LEAST) fillHeights(codes, numbers, start);
  else fillSums(codes, numbers, start);
  if (codes.at !== codes.bytes.length)
    throw new RangeError(`encoded integers end at ${codes.bytes.length}, not ${codes.at}`);
}

/** One loop without calls, because a year of readings goes through it; nearly all codes are one byte. */
function fillHeights(codes: ByteSource, numbers: Float64Array, least: number): void {
  const { bytes } = codes;
  let at = codes.at;
  for (let i = 0; i < numbers.length; i++) {
    let byte = bytes[at++] ?? 0;
    let code = byte & 0x7f;
    for (let weight = 0x80; byte >= 0x80; weight *= 0x80) {
      byte = bytes[at++] ?? 0;
      code += (byte & 0x7f) * weight;
    }
    numbers[i] = least + code;
  }
  codes.at = at;
}

/** As `fillHeights`, for folded differences. */
function fillSums(codes: ByteSource, numbers: Float64Array, start: number): void {
  const { bytes } = codes;
  let at = codes.at;
  let number = start;
  for (let i = 0; i < numbers.length; i++) {
    let byte = bytes[at++] ?? 0;
    if (byte < 0x80) {
      number += (byte >>> 1) ^ -(byte & 1);
    } else {
      let code = byte & 0x7f;
      for (let weight = 0x80; byte >= 0x80; weight *= 0x80) {
        byte = bytes[at++] ?? 0;
        code += (byte & 0x7f) * weight;
      }
      number += unfolded(code);
    }
    numbers[i] = number;
  }
  codes.at = at;
}

function fillMultiples(
  source: ByteSource,
  numbers: Float64Array,
  { method, start }: { readonly method: number; readonly start: number },
): void {
  const factor = takeVarint(source);
  takePacked(source, numbers);
  let multiple = 0;
  for (let i = 0; i < numbers.length; i++) {
    const packed = numbers[i] ?? 0;
    multiple = method === PACKED_DIFFERENCES ? multiple + packed : packed;
    numbers[i] = start + multiple * factor;
  }
}

function asVarints(numbers: Float64Array, code: (number: number) => number): Uint8Array {
  const codes = new Float64Array(numbers.length);
  for (let i = 0; i < numbers.length; i++) codes[i] = code(numbers[i] ?? 0);
  const sink = newSink(0);
  putVarints(sink, codes);
  return written(sink);
}

function rangeOf(numbers: Float64Array): { readonly least: number; readonly isConstant: boolean } {
  let least = numbers[0] ?? 0;
  let most = least;
  for (let i = 1; i < numbers.length; i++) {
    const number = numbers[i] ?? 0;
    if (number < least) least = number;
    if (number > most) most = number;
  }
  return { least, isConstant: least === most };
}

/** What a perfect code for single bytes would need: close to what the Huffman code reaches. */
function entropyBits(bytes: Uint8Array): number {
  const counts = new Uint32Array(256);
  for (const byte of bytes) counts[byte] = (counts[byte] ?? 0) + 1;
  let bits = 0;
  for (const count of counts) if (count > 0) bits += count * Math.log2(bytes.length / count);
  return bits;
}

/** The largest number that divides every distance from the first. */
function commonFactor(numbers: Float64Array): number {
  const start = numbers[0] ?? 0;
  let factor = 0;
  for (const number of numbers) {
    let rest = Math.abs(number - start);
    while (rest !== 0) [factor, rest] = [rest, factor % rest];
    if (factor === 1) break;
  }
  return Math.max(factor, 1);
}
