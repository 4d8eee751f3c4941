import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { projectOut } from '#server/calc/reconciliation/project-out.ts';
import { SPLITTER } from './reconciliation-examples.ts';

describe('projectOut', () => {
  it('leaves a - b = 0 of a - u = 0 and u - b = 0, and computes u as b, by hand', () => {
    const { balances, computed } = projectOut(
      [
        [1, -1, 0],
        [0, 1, -1],
      ],
      [1],
    );
    expect(balances).toEqual([[1, 0, -1]]);
    expect([...computed]).toEqual([[1, [1, 0, 0]]]);
  });

  it('takes coefficients other than 1: of a - 4u = 0 and 2u - b = 0 it leaves a - 2b = 0, by hand', () => {
    const { balances, computed } = projectOut(
      [
        [1, -4, 0],
        [0, 2, -1],
      ],
      [1],
    );
    expect(balances).toEqual([[0.5, 0, -1]]);
    expect([...computed]).toEqual([[1, [0.25, 0, 0]]]);
  });

  it('leaves the balances alone when everything is measured', () => {
    expect(projectOut(SPLITTER, [])).toEqual({ balances: SPLITTER, computed: new Map() });
  });

  it('computes none of two flows of which only the sum is known', () => {
    expect(projectOut([[1, -1, -1]], [1, 2])).toEqual({ balances: [], computed: new Map() });
  });

  it('does not know a flow that is in no balance', () => {
    expect(projectOut([[1, -1, 0]], [2]).computed.size).toBe(0);
  });

  it('refuses a balance that follows from the others, and an empty one', () => {
    const message =
      'FIGURE_INPUT projectOut.balances: got a balance that follows from the others, expected independent balances';
    expect(() => projectOut([...SPLITTER, [0, 1, 1, -1, -1, 0]], [])).toThrow(new RangeError(message));
    expect(() => projectOut([[0, 0]], [])).toThrow(new RangeError(message));
  });

  it('leaves no unmeasured flow in any balance, and computed flows that satisfy all of them', () => {
    const unmeasured = fc.uniqueArray(fc.integer({ min: 0, max: 5 }), { maxLength: 4 });
    const flows = fc.tuple(
      fc.double({ min: 1, max: 100, noNaN: true }),
      fc.double({ min: 1, max: 100, noNaN: true }),
    );
    fc.assert(
      fc.property(unmeasured, flows, (columns, [a, b]) => {
        const truth = [a + b, a, b, a, b, a + b];
        const { balances, computed } = projectOut(SPLITTER, columns);
        for (const row of balances) {
          for (const column of columns) expect(row[column]).toBe(0);
        }
        for (const [column, weights] of computed) {
          const value = weights.reduce((sum, weight, index) => sum + weight * (truth[index] ?? NaN), 0);
          expect(value).toBeCloseTo(truth[column] ?? NaN, 9);
        }
      }),
    );
  });
});
