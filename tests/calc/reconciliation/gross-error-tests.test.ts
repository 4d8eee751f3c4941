import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { candidateGroups } from '#server/calc/reconciliation/candidate-groups.ts';
import { globalTest } from '#server/calc/reconciliation/global-test.ts';
import { impliedBias } from '#server/calc/reconciliation/implied-bias.ts';
import { measurementTest } from '#server/calc/reconciliation/measurement-test.ts';
import { nodalTest } from '#server/calc/reconciliation/nodal-test.ts';
import { reconcileFlows } from '#server/calc/reconciliation/reconcile-flows.ts';
import { normalQuantile } from '#server/calc/statistics/normal-quantile.ts';
import { sidakLevel } from '#server/calc/statistics/sidak-level.ts';
import { B5, B6, diagonal, SPLITTER } from './reconciliation-examples.ts';

const pair = reconcileFlows({ balances: [[1, -1]], measured: [101, 99], covariance: diagonal([1, 1]) });
const b5 = reconcileFlows(B5);
const b6 = reconcileFlows(B6);
const nothingRedundant = reconcileFlows({
  balances: [[1, -1, -1]],
  measured: [10, null, 3],
  covariance: diagonal([1, 1, 1]),
});
const critical = normalQuantile(1 - sidakLevel(0.05, 6) / 2);

describe('globalTest', () => {
  it('gives 2.0 against 3.84 for 101 in and 99 out, by hand', () => {
    const test = globalTest(pair, 0.05);
    expect(test?.statistic).toBeCloseTo(2, 12);
    expect(test?.critical).toBeCloseTo(3.8415, 4);
    expect(test?.isExceeded).toBe(false);
  });

  it('finds nothing wrong with B5: 6.4075 against 9.4877', () => {
    const test = globalTest(b5, 0.05);
    expect(test?.statistic).toBeCloseTo(6.4075, 4);
    expect(test?.critical).toBeCloseTo(9.4877, 4);
    expect(test).toMatchObject({ degreesOfFreedom: 4, isExceeded: false });
  });

  it('finds a gross error in B6: 16.67417', () => {
    const test = globalTest(b6, 0.05);
    expect(test?.statistic).toBeCloseTo(16.674_17, 5);
    expect(test?.isExceeded).toBe(true);
  });

  it('has nothing to say where nothing is redundant', () => {
    expect(globalTest(nothingRedundant, 0.05)).toBeNull();
  });

  it('refuses a level of 1', () => {
    expect(() => globalTest(b5, 1)).toThrow(
      new RangeError(
        'FIGURE_INPUT chiSquareQuantile.probability [1]: got 0, expected more than 0 and less than 1',
      ),
    );
  });

  it('does not change when every flow and its spread are said in another unit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 100, noNaN: true }), (factor) => {
        const measured = B6.measured.map((value) => value * factor);
        const covariance = diagonal(B6.measured.map(() => factor ** 2));
        const scaled = reconcileFlows({ balances: SPLITTER, measured, covariance });
        expect(globalTest(scaled, 0.05)?.statistic).toBeCloseTo(16.674_17, 4);
      }),
    );
  });
});

describe('nodalTest', () => {
  it('gives 1.4142 for 101 in and 99 out, by hand', () => {
    expect(nodalTest(pair)[0]).toBeCloseTo(Math.SQRT2, 12);
  });

  it('gives 1.6224, 0.1768, 1.2657 and 1.0161 for B5', () => {
    for (const [index, z] of [1.6224, 0.1768, 1.2657, 1.0161].entries()) {
      expect(nodalTest(b5)[index]).toBeCloseTo(z, 4);
    }
  });
});

describe('measurementTest', () => {
  it('gives 1.4142 for both of 101 in and 99 out, by hand', () => {
    expect(measurementTest(pair)[0]).toBeCloseTo(Math.SQRT2, 12);
    expect(measurementTest(pair)[1]).toBeCloseTo(Math.SQRT2, 12);
  });

  it('gives the six values of B5', () => {
    for (const [index, z] of [2.0698, 0.0612, 1.3105, 0.3674, 0.8818, 1.6412].entries()) {
      expect(measurementTest(b5)[index]).toBeCloseTo(z, 4);
    }
  });

  it('names F2, and only F2, in B6: 3.2047 is above the critical 2.6310', () => {
    expect(critical).toBeCloseTo(2.631, 4);
    for (const [index, z] of [1.2533, 3.2047, 0.494, 2.0004, 1.6983, 2.4577].entries()) {
      expect(measurementTest(b6)[index]).toBeCloseTo(z, 3);
    }
    const flagged = measurementTest(b6).flatMap((z, index) => (z !== null && z > critical ? [index] : []));
    expect(flagged).toEqual([1]);
  });

  it('is null for a flow that is not measured, and for one that no balance checks', () => {
    expect(measurementTest(nothingRedundant)).toEqual([null, null, null]);
  });
});

describe('candidateGroups', () => {
  it('cannot tell inlet from outlet of one machine', () => {
    expect(candidateGroups(pair)).toEqual({ groups: [[0, 1]], unchecked: [] });
  });

  it('tells all six flows of B5 apart', () => {
    expect(candidateGroups(b5).groups).toEqual([[0], [1], [2], [3], [4], [5]]);
  });

  it('puts the flows at both ends of unmeasured ones into one group', () => {
    const measured = [101.91, 64.45, 34.65, null, 36.44, 98.88];
    const { groups } = candidateGroups(reconcileFlows({ ...B5, measured }));
    expect(groups).toEqual([[0], [1], [2], [4], [5]]);
    const less = candidateGroups(
      reconcileFlows({ ...B5, measured: [101.91, null, 34.65, null, 36.44, 98.88] }),
    );
    expect(less.groups).toEqual([
      [0, 5],
      [2, 4],
    ]);
  });

  it('lists what no balance checks', () => {
    expect(candidateGroups(nothingRedundant)).toEqual({ groups: [], unchecked: [0, 2] });
  });
});

describe('impliedBias', () => {
  it('gives +2 for the inlet or -2 for the outlet of 101 in and 99 out, by hand', () => {
    expect(impliedBias(pair, 0)?.bias).toBeCloseTo(2, 12);
    expect(impliedBias(pair, 1)?.bias).toBeCloseTo(-2, 12);
    expect(impliedBias(pair, 0)?.standardError).toBeCloseTo(Math.SQRT2, 12);
  });

  it('is null for a flow that is not measured, that no balance checks, or that is not there', () => {
    expect(impliedBias(nothingRedundant, 1)).toBeNull();
    expect(impliedBias(nothingRedundant, 0)).toBeNull();
    expect(impliedBias(pair, 7)).toBeNull();
  });

  it('finds in B6 the 4 that were added to F2, within its standard error', () => {
    const found = impliedBias(b6, 1);
    expect(Math.abs((found?.bias ?? NaN) - 4)).toBeLessThan(2 * (found?.standardError ?? NaN));
  });

  it('is the measurement test in other words: bias over standard error, for uncorrelated errors', () => {
    const values = fc.array(fc.double({ min: 10, max: 200, noNaN: true }), { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(values, (measured) => {
        const reconciliation = reconcileFlows({ ...B5, measured });
        for (const [flow, z] of measurementTest(reconciliation).entries()) {
          const { bias, standardError } = impliedBias(reconciliation, flow) ?? {
            bias: NaN,
            standardError: 1,
          };
          expect(Math.abs(bias / standardError)).toBeCloseTo(z ?? NaN, 6);
        }
      }),
    );
  });

  it('finds a bias exactly when nothing else is wrong', () => {
    const truth = [100, 64, 36, 64, 36, 100];
    const which = fc.integer({ min: 0, max: 5 });
    fc.assert(
      fc.property(which, fc.double({ min: -20, max: 20, noNaN: true }), (flow, bias) => {
        const measured = truth.map((value, index) => (index === flow ? value + bias : value));
        expect(impliedBias(reconcileFlows({ ...B5, measured }), flow)?.bias).toBeCloseTo(bias, 8);
      }),
    );
  });
});
