import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decodedChunk, encodedChunk } from '#server/history/codec/chunk-codec.ts';
import type { Samples } from '#server/history/samples.ts';

const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
const column = (value: fc.Arbitrary<number>) => fc.array(value, { minLength: 1, maxLength: 300 });

/** Kinds of values that a plant sends, and some that it never should. */
const values: Readonly<Record<string, fc.Arbitrary<readonly number[]>>> = {
  'any finite double, also -0': column(
    fc.oneof(finite, fc.constantFrom(0, -0, 5e-324, -1.7976931348623157e308)),
  ),
  'decimals of a sensor': column(fc.integer({ min: -1_000_000, max: 1_000_000 }).map((n) => n / 100)),
  'decimals as 32-bit floats': column(
    fc.integer({ min: -100_000, max: 100_000 }).map((n) => Math.fround(n / 10)),
  ),
  'unrounded 32-bit floats': column(fc.float({ noNaN: true, noDefaultInfinity: true })),
  contacts: column(fc.constantFrom(0, 1)),
  'one value for long': fc
    .tuple(finite, fc.integer({ min: 1, max: 9000 }))
    .map(([v, n]) => new Array<number>(n).fill(v)),
  'counters that roll over': fc
    .integer({ min: 1, max: 500 })
    .map((n) => Array.from({ length: n }, (_, i) => (4_294_967_000 + i) % 4_294_967_296)),
  'whole numbers up to 2^53': column(fc.maxSafeInteger()),
  'with and without a value': column(fc.oneof(fc.integer(), fc.constant(NaN))),
  'no value at all': column(fc.constant(NaN)),
};

const times: Readonly<Record<string, (length: number) => fc.Arbitrary<readonly number[]>>> = {
  'one second with jitter': (length) => steps(length, fc.integer({ min: 994, max: 1006 })),
  'ten a second': (length) => steps(length, fc.constantFrom(100, 100, 100, 101, 99)),
  'repeated times': (length) => steps(length, fc.constantFrom(0, 0, 1000)),
  'anything, in any order': (length) =>
    fc.array(fc.integer({ min: 0, max: 4_000_000_000_000 }), { minLength: length, maxLength: length }),
  'a poll with holes': (length) => steps(length, fc.constantFrom(1000, 1000, 1000, 1001, 3_600_000)),
};

describe('encodedChunk', () => {
  for (const [valueName, anyValues] of Object.entries(values)) {
    it(`gives back ${valueName} bit by bit, whatever the times are`, () => {
      fc.assert(
        fc.property(samplesOf(anyValues), (samples) =>
          expectSame(decodedChunk(encodedChunk(samples)), samples),
        ),
        { numRuns: 60 },
      );
    });
  }

  it('needs at most 1 byte a reading of a noisy sensor polled each second', () => {
    const length = 3600;
    const samples = {
      timeMs: Float64Array.from({ length }, (_, i) => 1_772_000_000_000 + i * 1000 + ((i * 7919) % 7)),
      value: Float64Array.from(
        { length },
        (_, i) => Math.round(500 + 40 * Math.sin(i / 500) + ((i * 104_729) % 5)) / 10,
      ),
      status: new Uint8Array(length),
      reason: new Uint8Array(length),
    };
    expect(encodedChunk(samples).length / length).toBeLessThan(1);
  });

  it('is refused when one bit of it has changed, wherever the bit is', () => {
    const samples = {
      timeMs: Float64Array.of(5, 6, 9),
      value: Float64Array.of(1, NaN, 3),
      status: Uint8Array.of(0, 2, 0),
      reason: new Uint8Array(3),
    };
    const bytes = encodedChunk(samples);
    for (let bit = 0; bit < bytes.length * 8; bit++) {
      const damaged = bytes.slice();
      damaged[bit >> 3] = (damaged[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(() => decodedChunk(damaged)).toThrow(/^(format is \d+, not 1|checksum does not fit the bytes)$/);
    }
  });
});

function samplesOf(anyValues: fc.Arbitrary<readonly number[]>): fc.Arbitrary<Samples> {
  return anyValues.chain((value) =>
    fc
      .constantFrom(...Object.values(times))
      .chain((timesOf) => timesOf(value.length))
      .chain((timeMs) =>
        fc.record({
          timeMs: fc.constant(Float64Array.from(timeMs)),
          value: fc.constant(Float64Array.from(value)),
          status: smallNumbers(value.length, 4),
          reason: smallNumbers(value.length, 255),
        }),
      ),
  );
}

function smallNumbers(length: number, max: number): fc.Arbitrary<Uint8Array> {
  return fc.oneof(
    fc.constant(new Uint8Array(length)),
    fc
      .integer({ min: 0, max })
      .map((number) => Uint8Array.from({ length }, (_, i) => (i % 17 === 3 ? number : 0))),
  );
}

function steps(length: number, step: fc.Arbitrary<number>): fc.Arbitrary<readonly number[]> {
  return fc.array(step, { minLength: length, maxLength: length }).map((all) => {
    let timeMs = 1_772_000_000_000;
    return all.map((ms) => (timeMs += ms));
  });
}

function expectSame(got: Samples, expected: Samples): void {
  expect(got.timeMs).toEqual(expected.timeMs);
  expect(got.status).toEqual(expected.status);
  expect(got.reason).toEqual(expected.reason);
  const isSame = got.value.every((value, i) => Object.is(value, expected.value[i]));
  if (!isSame) expect([...got.value]).toEqual([...expected.value]);
}
