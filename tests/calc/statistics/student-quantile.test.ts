import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { regularizedBeta } from '#server/calc/statistics/regularized-beta.ts';
import { studentQuantile } from '#server/calc/statistics/student-quantile.ts';

describe('regularizedBeta', () => {
  it('is 11/16 for shapes 2 and 3 at a half, by hand', () => {
    expect(regularizedBeta({ a: 2, b: 3 }, 0.5)).toBeCloseTo(11 / 16, 14);
  });

  it('is nothing at 0 and all at 1', () => {
    expect(regularizedBeta({ a: 2, b: 3 }, 0)).toBe(0);
    expect(regularizedBeta({ a: 2, b: 3 }, 1)).toBe(1);
  });

  it('agrees with itself from the other side: I_x(a, b) = 1 - I_1-x(b, a)', () => {
    for (const x of [0.01, 0.2, 0.7, 0.99]) {
      const other = 1 - regularizedBeta({ a: 7, b: 2.5 }, 1 - x);
      expect(regularizedBeta({ a: 2.5, b: 7 }, x)).toBeCloseTo(other, 12);
    }
  });

  it('refuses a point beyond 1 and names it', () => {
    expect(() => regularizedBeta({ a: 1, b: 1 }, 1.5)).toThrow(
      'FIGURE_INPUT regularizedBeta.x [1]: got 1.5, expected 0 to 1',
    );
  });

  it('refuses a shape of nothing and names it', () => {
    expect(() => regularizedBeta({ a: 0, b: 1 }, 0.5)).toThrow(
      'FIGURE_INPUT regularizedBeta.a [1]: got 0, expected > 0',
    );
  });
});

describe('studentQuantile', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, upper critical values of Student's t.
  it.each([
    [1, 12.706],
    [2, 4.303],
    [5, 2.571],
    [10, 2.228],
    [30, 2.042],
    [100, 1.984],
  ])('is the tabled value for 97.5 %% with %d degrees of freedom, per NIST', (freedom, tabled) => {
    expect(studentQuantile(0.975, freedom)).toBeCloseTo(tabled, 3);
  });

  it('agrees with jStat where degrees of freedom are not whole', () => {
    for (const freedom of [1.5, 4.2, 17.9, 240.3]) {
      expect(studentQuantile(0.99, freedom)).toBeCloseTo(jstat.studentt.inv(0.99, freedom), 5);
    }
  });

  it('is the same distance on both sides of nought', () => {
    expect(studentQuantile(0.025, 7)).toBe(-studentQuantile(0.975, 7));
    expect(studentQuantile(0.5, 7)).toBe(0);
  });

  it('refuses a freedom of nothing and names it', () => {
    expect(() => studentQuantile(0.9, 0)).toThrow(
      'FIGURE_INPUT studentQuantile.freedom [1]: got 0, expected > 0',
    );
  });
});
