import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { scalarNumber } from '#server/field/scalar-number.ts';

/** Built-in type numbers of OPC UA Part 6, table 1. */
const TYPE = {
  boolean: 1,
  byte: 3,
  int32: 6,
  int64: 8,
  uint64: 9,
  float: 10,
  double: 11,
  string: 12,
  dateTime: 13,
};
const scalar = (dataType: number, value: unknown) => ({ dataType, arrayType: 0, value });

describe('scalarNumber', () => {
  it('is 1 for a closed contact and 0 for an open one', () => {
    expect(scalarNumber(scalar(TYPE.boolean, true))).toBe(1);
    expect(scalarNumber(scalar(TYPE.boolean, false))).toBe(0);
  });

  it('takes bytes, enumerations (which are Int32), floats and doubles as they are', () => {
    expect(scalarNumber(scalar(TYPE.byte, 200))).toBe(200);
    expect(scalarNumber(scalar(TYPE.int32, -3))).toBe(-3);
    expect(scalarNumber(scalar(TYPE.float, 0.5))).toBe(0.5);
    expect(scalarNumber(scalar(TYPE.double, -1e300))).toBe(-1e300);
  });

  it('puts the two words of a signed 64-bit integer together, against BigInt', () => {
    fc.assert(
      fc.property(fc.bigInt(-(2n ** 53n), 2n ** 53n), (integer) => {
        const bits = BigInt.asUintN(64, integer);
        const words = [Number(bits >> 32n), Number(bits & 0xffffffffn)];
        expect(scalarNumber(scalar(TYPE.int64, words))).toBe(Number(integer));
      }),
    );
  });

  it('takes the highest word of an unsigned 64-bit integer as positive, against BigInt', () => {
    expect(scalarNumber(scalar(TYPE.uint64, [0xffffffff, 0xffffffff]))).toBe(Number(2n ** 64n - 1n));
  });

  it.each([
    ['NaN, which arrives with status Good', scalar(TYPE.double, NaN)],
    ['infinity', scalar(TYPE.float, -Infinity)],
    ['text that looks like a number', scalar(TYPE.string, '12')],
    ['a date', scalar(TYPE.dateTime, new Date(0))],
    ['an array of one', { dataType: TYPE.double, arrayType: 1, value: new Float64Array([1]) }],
    ['an array of two 64-bit words', { dataType: TYPE.int64, arrayType: 1, value: [1, 2] }],
    ['nothing', scalar(0, null)],
    ['half of a 64-bit integer', scalar(TYPE.int64, [1])],
  ])('is no number for %s', (_, variant) => {
    expect(scalarNumber(variant)).toBeNull();
  });

  it('never throws and never gives NaN or infinity, whatever a plant sends', () => {
    const anything = fc.record({
      dataType: fc.integer({ min: 0, max: 30 }),
      arrayType: fc.constantFrom(0, 1, 2),
      value: fc.anything(),
    });
    fc.assert(
      fc.property(anything, (variant) => {
        const number = scalarNumber(variant);
        expect(number === null || Number.isFinite(number)).toBe(true);
      }),
      { numRuns: 2000 },
    );
  });
});
