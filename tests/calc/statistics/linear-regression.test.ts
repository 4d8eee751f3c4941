import fc from 'fast-check';
import { linearRegression as oracleLine } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { linearRegression } from '#server/calc/statistics/linear-regression.ts';

/** NIST StRD, linear regression, data set Norris. */
const NORRIS =
  `0.2,0.1 337.4,338.8 118.2,118.1 884.6,888.0 10.1,9.2 226.5,228.1 666.3,668.5 996.3,998.5 448.6,449.1
777.0,778.9 558.2,559.2 0.4,0.3 0.6,0.1 775.5,778.1 666.9,668.8 338.0,339.3 447.5,448.9 11.6,10.8 556.0,557.7
228.1,228.3 995.8,998.0 887.6,888.8 120.2,119.6 0.3,0.3 0.3,0.6 556.8,557.6 339.1,339.3 887.2,888.0 999.0,998.5
779.0,778.9 11.1,10.2 118.3,117.6 229.2,228.9 669.1,668.4 448.9,449.2 0.5,0.2`
    .split(/\s+/)
    .map((pair) => pair.split(',').map(Number))
    .map(([x = NaN, y = NaN]) => ({ x, y }));

describe('linearRegression', () => {
  it('finds slope 2 and intercept 1 through (0, 1), (1, 3) and (2, 5), by hand', () => {
    const line = linearRegression([
      { x: 0, y: 1 },
      { x: 1, y: 3 },
      { x: 2, y: 5 },
    ]);
    expect(line).toMatchObject({ slope: 2, intercept: 1, residualDeviation: 0, determination: 1 });
  });

  it('has the certified values of Norris to nine digits (NIST StRD)', () => {
    expect(NORRIS).toHaveLength(36);
    const line = linearRegression(NORRIS);
    expect(line).not.toBeNull();
    const certified = {
      slope: 1.002_116_818_020_45,
      intercept: -0.262_323_073_774_029,
      slopeError: 0.429_796_848_199_937e-3,
      interceptError: 0.232_818_234_301_152,
      residualDeviation: 0.884_796_396_144_373,
      determination: 0.999_993_745_883_712,
    };
    for (const [name, value] of Object.entries(certified)) {
      expect(Math.abs((line?.[name as keyof typeof certified] ?? NaN) / value - 1), name).toBeLessThan(1e-9);
    }
  });

  it('is null with two points, and when all points lie at one x', () => {
    expect(linearRegression(NORRIS.slice(0, 2))).toBeNull();
    expect(linearRegression([1, 2, 3].map((y) => ({ x: 5, y })))).toBeNull();
  });

  it('explains all of values that do not vary', () => {
    expect(linearRegression([1, 2, 3].map((x) => ({ x, y: 5 })))).toMatchObject({
      slope: 0,
      determination: 1,
    });
  });

  it('refuses a coordinate that is no number', () => {
    expect(() => linearRegression([{ x: 1, y: NaN }])).toThrow(
      new RangeError('FIGURE_INPUT withValue.value: got NaN, expected a finite number'),
    );
  });

  it('agrees with simple-statistics', () => {
    const coordinate = fc.integer({ min: -1000, max: 1000 });
    fc.assert(
      fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 3, maxLength: 30 }), (pairs) => {
        fc.pre(new Set(pairs.map(([x]) => x)).size > 1);
        const line = linearRegression(pairs.map(([x, y]) => ({ x, y })));
        const oracle = oracleLine(pairs);
        expect(line?.slope).toBeCloseTo(oracle.m, 8);
        expect(line?.intercept).toBeCloseTo(oracle.b, 5);
      }),
    );
  });
});
