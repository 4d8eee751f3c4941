import { putByte, putVarint, takeByte, takeVarint, type ByteSink, type ByteSource } from './bytes.ts';
import { fillIntegers, putIntegers } from './integer-column.ts';
import { DECIMAL_POWERS, scaledIntegers } from './scaled-integers.ts';
import { putSqueezed, takeSqueezed } from './squeeze.ts';

const SCALED = 0;
const SCALED_FLOAT32 = 1;
const BIT_PATTERNS = 2;
const BYTES_PER_DOUBLE = 8;

/**
 * A column of doubles, NaN where there is no value; every finite double comes back bit by bit.
 * First the runs of present and absent values, then the present ones: as whole numbers with one power of ten
 * where all are decimals of at most that many places, else as bit patterns.
 */
export function putValues(sink: ByteSink, values: Float64Array, put: typeof putIntegers = putIntegers): void {
  const present = putPresence(sink, values);
  if (present.length === 0) return;
  const scaled = scaledIntegers(present);
  if (scaled === null) {
    putByte(sink, BIT_PATTERNS);
    putBitPatterns(sink, present);
    return;
  }
  putByte(sink, scaled.isFloat32 ? SCALED_FLOAT32 : SCALED);
  putByte(sink, scaled.decimals);
  put(sink, scaled.numbers);
}

export function takeValues(source: ByteSource, length: number): Float64Array {
  const values = new Float64Array(length);
  fillValues(source, values);
  return values;
}

/** As `takeValues`, into a column that is there: as many as it has room for. */
export function fillValues(source: ByteSource, values: Float64Array): void {
  const runs = takeRunLengths(source);
  const presentCount = runs.reduce((sum, run, i) => (i % 2 === 0 ? sum + run : sum), 0);
  if (runs.reduce((sum, run) => sum + run, 0) !== values.length)
    throw new RangeError('value column has the wrong length');
  if (presentCount === values.length && presentCount > 0) return fillPresent(source, values);
  const present = new Float64Array(presentCount);
  if (presentCount > 0) fillPresent(source, present);
  values.fill(NaN);
  let from = 0;
  let at = 0;
  for (const [i, run] of runs.entries()) {
    if (i % 2 === 0) values.set(present.subarray(from, (from += run)), at);
    at += run;
  }
}

function fillPresent(source: ByteSource, values: Float64Array): void {
  const method = takeByte(source);
  if (method === BIT_PATTERNS) return fillBitPatterns(source, values);
  if (method > BIT_PATTERNS) throw new RangeError(`value column method ${method} is not 0, 1 or 2`);
  const power = DECIMAL_POWERS[takeByte(source)] ?? 1;
  fillIntegers(source, values);
  if (method === SCALED_FLOAT32) {
    for (let i = 0; i < values.length; i++) values[i] = Math.fround((values[i] ?? 0) / power);
  } else if (power !== 1) {
    for (let i = 0; i < values.length; i++) values[i] = (values[i] ?? 0) / power;
  }
}

/** Number of runs and their lengths, present first; returns the present values. */
function putPresence(sink: ByteSink, values: Float64Array): Float64Array {
  const runs: number[] = [];
  let isPresent = true;
  let start = 0;
  let presentCount = 0;
  for (let i = 0; i <= values.length; i++) {
    const isNextPresent: boolean = i === values.length ? !isPresent : !Number.isNaN(values[i]);
    if (isNextPresent === isPresent) continue;
    runs.push(i - start);
    if (isPresent) presentCount += i - start;
    isPresent = isNextPresent;
    start = i;
  }
  putVarint(sink, runs.length);
  for (const run of runs) putVarint(sink, run);
  return presentCount === values.length ? values : values.filter((value) => !Number.isNaN(value));
}

function takeRunLengths(source: ByteSource): number[] {
  return Array.from({ length: takeVarint(source) }, () => takeVarint(source));
}

/** Each pattern is combined by exclusive or with the one before; then all first bytes, all second bytes, ... */
function putBitPatterns(sink: ByteSink, values: Float64Array): void {
  const words = new Uint32Array(values.slice().buffer);
  const planes = new Uint8Array(values.length * BYTES_PER_DOUBLE);
  for (let i = 0; i < words.length; i++) {
    const word = (words[i] ?? 0) ^ (i < 2 ? 0 : (words[i - 2] ?? 0));
    const plane = (i % 2) * 4;
    for (let b = 0; b < 4; b++) planes[(plane + b) * values.length + (i >> 1)] = word >>> (8 * b);
  }
  for (let b = 0; b < BYTES_PER_DOUBLE; b++) {
    putSqueezed(sink, planes.subarray(b * values.length, (b + 1) * values.length));
  }
}

function fillBitPatterns(source: ByteSource, values: Float64Array): void {
  const { length } = values;
  const words = new Uint32Array(length * 2);
  for (let b = 0; b < BYTES_PER_DOUBLE; b++) {
    const plane = takeSqueezed(source);
    const shift = 8 * (b % 4);
    for (let i = 0; i < length; i++) {
      const at = 2 * i + (b >> 2);
      words[at] = (words[at] ?? 0) | ((plane[i] ?? 0) << shift);
    }
  }
  for (let i = 2; i < words.length; i++) words[i] = (words[i] ?? 0) ^ (words[i - 2] ?? 0);
  values.set(new Float64Array(words.buffer));
}
