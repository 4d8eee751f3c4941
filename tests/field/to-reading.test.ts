import { describe, expect, it } from 'vitest';
import { toReading, type DataValueLike } from '#server/field/to-reading.ts';

const DOUBLE = 11;
const ADDRESS = { tag: 'a.intake.massFlow', factor: null };
const ARRIVAL = { arrivalMs: 5000, clockOffsetMs: 300 };

function change(
  given: Partial<DataValueLike> & { readonly number?: number; readonly status?: number },
): DataValueLike {
  return {
    value: { dataType: DOUBLE, arrayType: 0, value: given.number ?? 12.5 },
    statusCode: { value: given.status ?? 0 },
    sourceTimestamp: new Date(4000),
    serverTimestamp: new Date(4100),
    ...given,
  };
}

describe('toReading', () => {
  it('keeps value, source time and arrival of a good value', () => {
    expect(toReading(change({}), ADDRESS, ARRIVAL)).toEqual({
      tag: 'a.intake.massFlow',
      sourceTimeMs: 4000,
      arrivalMs: 5000,
      value: 12.5,
      quality: 'good',
    });
  });

  // Status codes of OPC UA Part 6, annex A; severity bits of Part 4, 7.39.1.
  it.each([
    { name: 'Good', status: 0x00000000, expected: { quality: 'good', value: 12.5 } },
    {
      name: 'Good with the overflow bits of a full queue',
      status: 0x00000480,
      expected: { quality: 'good', value: 12.5 },
    },
    { name: 'GoodClamped', status: 0x00300000, expected: { quality: 'good', value: 12.5 } },
    { name: 'UncertainLastUsableValue', status: 0x40900000, expected: { quality: 'uncertain', value: 12.5 } },
    { name: 'BadSensorFailure with a value', status: 0x808c0000, expected: { quality: 'bad', value: null } },
    { name: 'the reserved severity', status: 0xc0000000, expected: { quality: 'bad', value: null } },
  ])('makes of $name $expected', ({ status, expected }) => {
    expect(toReading(change({ status }), ADDRESS, ARRIVAL)).toMatchObject(expected);
  });

  it('is bad, without a value, when a good status carries NaN', () => {
    expect(toReading(change({ number: NaN }), ADDRESS, ARRIVAL)).toMatchObject({
      quality: 'bad',
      value: null,
    });
  });

  it('is bad when there is no value at all', () => {
    expect(toReading(change({ value: null }), ADDRESS, ARRIVAL)).toMatchObject({
      quality: 'bad',
      value: null,
    });
  });

  it('multiplies by the factor of its tag', () => {
    expect(toReading(change({}), { ...ADDRESS, factor: 0.01 }, ARRIVAL).value).toBeCloseTo(0.125, 12);
  });

  it('is bad when the factor takes the value out of all bounds', () => {
    const huge = toReading(change({ number: 1e300 }), { ...ADDRESS, factor: 1e300 }, ARRIVAL);
    expect(huge).toMatchObject({ quality: 'bad', value: null });
  });

  it('takes the server time where the plant gives no source time', () => {
    expect(toReading(change({ sourceTimestamp: null }), ADDRESS, ARRIVAL).sourceTimeMs).toBe(4100);
  });

  it('takes the year 1601 as no time', () => {
    const zero = new Date(Date.UTC(1601, 0, 1));
    expect(toReading(change({ sourceTimestamp: zero }), ADDRESS, ARRIVAL).sourceTimeMs).toBe(4100);
  });

  it('takes the arrival, by the plant clock, where the plant gives no time', () => {
    const timeless = change({ sourceTimestamp: null, serverTimestamp: null });
    expect(toReading(timeless, ADDRESS, ARRIVAL).sourceTimeMs).toBe(5300);
  });
});
