import fc from 'fast-check';
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { solverOf, times, timesVector, transpose } from '#server/calc/matrix.ts';

describe('solverOf', () => {
  it('gives [-0.5, 2] for [[4, 2], [2, 3]] and [2, 5], by hand', () => {
    const [x, y] = solverOf('test.matrix', [
      [4, 2],
      [2, 3],
    ])([2, 5]);
    expect(x).toBeCloseTo(-0.5, 12);
    expect(y).toBeCloseTo(2, 12);
  });

  it('refuses a matrix that is not positive definite', () => {
    const indefinite = [
      [1, 2],
      [2, 1],
    ];
    expect(() => solverOf('test.matrix', indefinite)).toThrow(
      new RangeError(
        'FIGURE_INPUT test.matrix: got a matrix that is not positive definite, expected a positive definite matrix',
      ),
    );
  });

  it('agrees with ml-matrix, whatever the matrix', () => {
    const row = fc.array(fc.double({ min: -10, max: 10, noNaN: true }), { minLength: 4, maxLength: 4 });
    const rows = fc.array(row, { minLength: 4, maxLength: 4 });
    fc.assert(
      fc.property(rows, row, (factor, b) => {
        const a = times(factor, transpose(factor)).map((each, i) =>
          each.map((value, j) => value + (i === j ? 1 : 0)),
        );
        const x = solverOf('test.matrix', a)(b);
        const oracle = new CholeskyDecomposition(new Matrix(a.map((each) => [...each])))
          .solve(Matrix.columnVector(b))
          .to1DArray();
        for (const [index, value] of oracle.entries()) expect(x[index]).toBeCloseTo(value, 6);
        for (const [index, value] of timesVector(a, x).entries())
          expect(value).toBeCloseTo(b[index] ?? NaN, 6);
      }),
    );
  });
});
