import {
  folded,
  newSink,
  putByte,
  putSigned,
  putVarints,
  takeByte,
  takeSigned,
  takeVarints,
  unfolded,
  written,
  type ByteSink,
  type ByteSource,
} from './bytes.ts';
import { putSqueezed, takeSqueezed } from './squeeze.ts';

const CONSTANT = 0;
const ABOVE_LEAST = 1;
const DIFFERENCES = 2;

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

export function takeIntegers(source: ByteSource, length: number): Float64Array {
  const numbers = new Float64Array(length);
  const method = takeByte(source);
  const start = takeSigned(source);
  if (method === CONSTANT) return numbers.fill(start);
  if (method > DIFFERENCES) throw new RangeError(`integer column method ${method} is not 0, 1 or 2`);
  takeVarints({ bytes: takeSqueezed(source), at: 0 }, numbers);
  if (method === ABOVE_LEAST) {
    for (let i = 0; i < length; i++) numbers[i] = (numbers[i] ?? 0) + start;
    return numbers;
  }
  let number = start;
  for (let i = 0; i < length; i++) {
    number += unfolded(numbers[i] ?? 0);
    numbers[i] = number;
  }
  return numbers;
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
