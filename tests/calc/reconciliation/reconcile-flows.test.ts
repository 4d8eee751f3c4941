import fc from 'fast-check';
import { Matrix, pseudoInverse } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { reconcileFlows } from '#server/calc/reconciliation/reconcile-flows.ts';
import { globalTest } from '#server/calc/reconciliation/global-test.ts';
import { B5, B6, diagonal, SPLITTER } from './reconciliation-examples.ts';

/** VDI 2048 Part 1 (2000), steam balance: values, half-widths at 95 %, and published answers (B8). */
const VDI = [
  ['FDKEL', 46.241, 2.5, 44.696, 1.611],
  ['FDKELL', 45.668, 2.5, 44.123, 1.611],
  ['SPL', 44.575, 0.535, 44.643, 0.425],
  ['SPLL', 44.319, 0.532, 44.386, 0.424],
  ['V', 0.525, 0.105, 0.524, 0.105],
  ['HK', 69.978, 0.854, 70.005, 0.615],
  ['A7', 10.364, 0.168, 10.364, 0.133],
  ['A6', 3.744, 0.058, 3.744, 0.057],
  ['A5', 4.391, 0.058, 4.391, 0.057],
  ['HDNK', 18.498, 0.205, 18.499, 0.137],
  ['D', 2.092, 0.272, 2.092, 0.272],
] as const;
const VDI_BALANCES = [
  [1, 1, -1, -1, 0.4, 0, 0, 0, 0, 0, 0],
  [0, 0, 1, 1, -1, -1, -1, -1, -1, 0, 0],
  [0, 0, 0, 0, 0, 0, 1, 1, 1, -1, 0],
];

function vdiInputs() {
  const covariance = diagonal(VDI.map(([, , halfWidth]) => (halfWidth / 1.96) ** 2)).map((row) => [...row]);
  for (const [i, j, value] of [
    [0, 1, 0.325_385_256],
    [2, 3, 0.029_635_569],
  ] as const) {
    covariance[i]?.splice(j, 1, value);
    covariance[j]?.splice(i, 1, value);
  }
  return { balances: VDI_BALANCES, measured: VDI.map(([, value]) => value), covariance };
}

function expectClose(values: readonly (number | null)[], expected: readonly number[], digits: number) {
  expect(values).toHaveLength(expected.length);
  for (const [index, value] of expected.entries()) expect(values[index]).toBeCloseTo(value, digits);
}

describe('reconcileFlows', () => {
  it('makes 100 and 100 of 101 in and 99 out, by hand', () => {
    const { flows, standardErrors } = reconcileFlows({
      balances: [[1, -1]],
      measured: [101, 99],
      covariance: diagonal([1, 1]),
    });
    expectClose(flows, [100, 100], 12);
    expectClose(standardErrors, [Math.SQRT1_2, Math.SQRT1_2], 12);
  });

  it('reconciles the splitter and mixer of B5 (Narasimhan & Jordache, ch. 1)', () => {
    const { flows, standardErrors } = reconcileFlows(B5);
    expectClose(flows, [100.22, 64.5, 35.72, 64.5, 35.72, 100.22], 2);
    expectClose(standardErrors, [0.577_35, 0.577_35, 0.577_35, 0.577_35, 0.577_35, 0.577_35], 5);
  });

  it('reconciles the same with a wrong F2 as B6 (Narasimhan & Jordache, ch. 7)', () => {
    const { flows, residuals } = reconcileFlows(B6);
    expectClose(flows, [100.8867, 65.8333, 35.0533, 65.8333, 35.0533, 100.8867], 4);
    expectClose(residuals, [-1.19, 4.25, -1.79, 1.76], 10);
  });

  it('reconciles the steam balance of VDI 2048 Part 1, with correlated errors (B8)', () => {
    const reconciliation = reconcileFlows(vdiInputs());
    expectClose(
      reconciliation.flows,
      VDI.map(([, , , answer]) => answer),
      2,
    );
    expectClose(
      reconciliation.standardErrors.map((error) => (error ?? NaN) * 1.96),
      VDI.map(([, , , , halfWidth]) => halfWidth),
      2,
    );
    for (const [index, [, , , answer]] of VDI.entries()) {
      expect(Math.abs((reconciliation.flows[index] ?? NaN) - answer)).toBeLessThan(1e-3);
    }
    expect(globalTest(reconciliation, 0.05)?.statistic).toBeCloseTo(2.537, 3);
  });

  it('leaves a flow as measured that is in no balance (B8, D)', () => {
    const { flows, adjustments } = reconcileFlows(vdiInputs());
    expect(flows[10]).toBe(2.092);
    expect(adjustments[10]).toBe(0);
  });

  it('computes an unmeasured flow that the balances determine', () => {
    const { flows, standardErrors, adjustments } = reconcileFlows({
      ...B5,
      measured: [101.91, null, 34.65, 64.2, 36.44, 98.88],
    });
    expect(flows[1]).toBeCloseTo(flows[3] ?? NaN, 12);
    expect(standardErrors[1]).toBeCloseTo(standardErrors[3] ?? NaN, 12);
    expect(adjustments[1]).toBeNull();
  });

  it('has no figure for two unmeasured flows of which only the sum is known', () => {
    const { flows, standardErrors } = reconcileFlows({
      balances: [[1, -1, -1]],
      measured: [10, null, null],
      covariance: diagonal([1, 1, 1]),
    });
    expect(flows).toEqual([10, null, null]);
    expect(standardErrors).toEqual([1, null, null]);
  });

  it('still determines one unmeasured flow beside two that it cannot', () => {
    const { flows } = reconcileFlows({
      balances: [
        [1, -1, -1, 0],
        [1, 0, 0, -1],
      ],
      measured: [10, null, null, null],
      covariance: diagonal([1, 1, 1, 1]),
    });
    expect(flows).toEqual([10, null, null, 10]);
  });

  it('changes nothing where nothing is redundant', () => {
    const { flows, residuals } = reconcileFlows({
      balances: [[1, -1, -1]],
      measured: [10, 7, null],
      covariance: diagonal([1, 1, 1]),
    });
    expectClose(flows, [10, 7, 3], 12);
    expect(residuals).toEqual([]);
  });

  it('gives a flow below zero as it is', () => {
    const { flows } = reconcileFlows({
      balances: [[1, -1, -1]],
      measured: [10, 12, 0.1],
      covariance: diagonal([0.01, 0.01, 1]),
    });
    expect(flows[2]).toBeLessThan(0);
  });

  it.each([
    [{ balances: [[1, -1]] }, 'reconcileFlows.balances[0] length: got 2, expected 6'],
    [{ covariance: diagonal([1, 1]) }, 'reconcileFlows.covariance[0] length: got 2, expected 6'],
    [{ covariance: [] }, 'reconcileFlows.covariance length: got 0, expected 6'],
    [
      { covariance: diagonal([1, 1, 0, 1, 1, 1]) },
      'reconcileFlows.covariance: got a matrix that is not positive definite, expected a positive definite matrix',
    ],
    [
      { balances: [...SPLITTER, [1, 0, 0, 0, 0, -1]] },
      'projectOut.balances: got a balance that follows from the others, expected independent balances',
    ],
    [
      { measured: [NaN, 64.45, 34.65, 64.2, 36.44, 98.88] },
      'reconcileFlows.measured[0]: got NaN, expected a finite number',
    ],
  ])('refuses %j and names it', (wrong, message) => {
    expect(() => reconcileFlows({ ...B5, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('satisfies every balance, and agrees with the pseudo-inverse of ml-matrix, whatever was measured', () => {
    const values = fc.array(fc.double({ min: 0, max: 1000, noNaN: true }), { minLength: 6, maxLength: 6 });
    const spreads = fc.array(fc.double({ min: 0.1, max: 30, noNaN: true }), { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(values, spreads, (measured, variances) => {
        const { flows } = reconcileFlows({ balances: SPLITTER, measured, covariance: diagonal(variances) });
        const a = new Matrix(SPLITTER);
        const v = Matrix.diag(variances);
        const gain = v.mmul(a.transpose()).mmul(pseudoInverse(a.mmul(v).mmul(a.transpose())));
        const oracle = Matrix.columnVector(measured).sub(gain.mmul(a).mmul(Matrix.columnVector(measured)));
        expectClose(flows, oracle.to1DArray(), 6);
        const sums = a.mmul(Matrix.columnVector(flows.map((flow) => flow ?? NaN))).to1DArray();
        for (const sum of sums) expect(sum).toBeCloseTo(0, 8);
      }),
    );
  });

  it('treats an unmeasured flow like one measured with next to no certainty', () => {
    const index = fc.integer({ min: 0, max: 5 });
    fc.assert(
      fc.property(index, (unmeasured) => {
        const measured = B6.measured.map((value, i) => (i === unmeasured ? null : value));
        const vague = diagonal(B6.measured.map((_, i) => (i === unmeasured ? 1e9 : 1)));
        const projected = reconcileFlows({ ...B6, measured });
        const approximate = reconcileFlows({ ...B6, covariance: vague });
        expectClose(
          projected.flows,
          approximate.flows.map((flow) => flow ?? NaN),
          4,
        );
        expectClose(
          projected.standardErrors,
          approximate.standardErrors.map((error) => error ?? NaN),
          4,
        );
      }),
    );
  });
});
