import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { newSink, written } from '#server/history/codec/bytes.ts';
import { putIntegers, putPackedIntegers, takeIntegers } from '#server/history/codec/integer-column.ts';

const LARGEST = 2 ** 50;
const kinds: Readonly<Record<string, fc.Arbitrary<readonly number[]>>> = {
  'small numbers': numbers(fc.integer({ min: -40, max: 40 })),
  'numbers up to 2^50': numbers(fc.integer({ min: -LARGEST, max: LARGEST })),
  'multiples of 25': numbers(fc.integer({ min: -1e9, max: 1e9 }).map((n) => n * 25)),
  'a ramp with an outlier': fc
    .tuple(fc.integer({ min: 1, max: 600 }), fc.integer({ min: -LARGEST, max: LARGEST }))
    .map(([length, outlier]) => Array.from({ length }, (_, i) => (i === length >> 1 ? outlier : i * 7))),
};

function numbers(number: fc.Arbitrary<number>): fc.Arbitrary<readonly number[]> {
  return fc.array(number, { minLength: 1, maxLength: 400 });
}

describe('integer columns', () => {
  for (const [name, columns] of Object.entries(kinds)) {
    for (const put of [putIntegers, putPackedIntegers]) {
      it(`give back ${name} that ${put.name} wrote`, () => {
        fc.assert(
          fc.property(columns, (column) => {
            const sink = newSink(0);
            put(sink, Float64Array.from(column));
            const source = { bytes: written(sink), at: 0 };
            expect([...takeIntegers(source, column.length)]).toEqual([...column]);
            expect(source.at).toBe(sink.length);
          }),
        );
      });
    }
  }

  it('packs 128 jitters of 0 to 6 ms in 3 bits each: by hand 48 bytes, and five before them', () => {
    const sink = newSink(0);
    putPackedIntegers(
      sink,
      Float64Array.from({ length: 128 }, (_, i) => (i * 5) % 7),
    );
    // Method, start, factor, least, bits, then the plane: least and start are one byte each.
    expect(sink.length).toBe(5 + 48);
  });
});
