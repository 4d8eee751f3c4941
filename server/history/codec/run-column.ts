import { putByte, putVarint, takeByte, takeVarint, type ByteSink, type ByteSource } from './bytes.ts';

/** Small numbers that rarely change: how many runs, then value and length of each. */
export function putRuns(sink: ByteSink, numbers: Uint8Array): void {
  const starts: number[] = [];
  for (let i = 0; i < numbers.length; i++) if (i === 0 || numbers[i] !== numbers[i - 1]) starts.push(i);
  putVarint(sink, starts.length);
  for (const [i, start] of starts.entries()) {
    putByte(sink, numbers[start] ?? 0);
    putVarint(sink, (starts[i + 1] ?? numbers.length) - start);
  }
}

export function takeRuns(source: ByteSource, length: number): Uint8Array {
  const numbers = new Uint8Array(length);
  let at = 0;
  for (let runs = takeVarint(source); runs > 0; runs--) {
    const value = takeByte(source);
    const end = at + takeVarint(source);
    if (end > length) throw new RangeError(`runs reach ${end}, past the end at ${length}`);
    if (value !== 0) numbers.fill(value, at, end);
    at = end;
  }
  if (at !== length) throw new RangeError(`runs end at ${at}, not ${length}`);
  return numbers;
}
