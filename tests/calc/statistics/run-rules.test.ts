import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nelsonRules, westernElectricRules } from '#server/calc/statistics/run-rules.ts';

function inTurn(size: number, count: number) {
  return Array.from({ length: count }, (_, index) => (index % 2 === 0 ? size : -size));
}

/** Vectors that follow from the rules' own words. */
describe('westernElectricRules', () => {
  it('finds rule 2 broken by 2.1, 0.5, 2.2', () => {
    expect(westernElectricRules([2.1, 0.5, 2.2])).toEqual([2]);
  });

  it('finds rule 1 broken beyond 3, not at 3, on either side', () => {
    expect(westernElectricRules([3.01])).toEqual([1]);
    expect(westernElectricRules([-3.01])).toEqual([1]);
    expect(westernElectricRules([3])).toEqual([]);
  });

  it('finds rule 3 broken by 1.1, 1.2, 0.2, 1.3, 1.4, and not before the last', () => {
    expect(westernElectricRules([1.1, 1.2, 0.2, 1.3, 1.4])).toEqual([3]);
    expect(westernElectricRules([1.1, 1.2, 0.2, 1.3])).toEqual([]);
  });

  it('finds rule 4 broken by the eighth point on one side, not by the seventh', () => {
    expect(westernElectricRules(new Array<number>(8).fill(0.1))).toEqual([4]);
    expect(westernElectricRules(new Array<number>(7).fill(0.1))).toEqual([]);
  });

  it('lets a point on the centre line break a run', () => {
    expect(westernElectricRules([0.1, 0.1, 0.1, 0, 0.1, 0.1, 0.1, 0.1])).toEqual([]);
    expect(westernElectricRules([-0.1, -0.1, -0.1, 0, -0.1, -0.1, -0.1, -0.1])).toEqual([]);
  });

  it('does not add up points on both sides', () => {
    expect(westernElectricRules([2.1, 0.5, -2.2])).toEqual([]);
    expect(westernElectricRules([1.1, 1.2, 0.2, -1.3, -1.4])).toEqual([]);
  });
});

describe('nelsonRules', () => {
  it('finds rule 3 broken by six that rise, and by six that fall', () => {
    expect(nelsonRules([0.1, 0.2, 0.3, 0.4, 0.5, 0.6])).toEqual([3]);
    expect(nelsonRules([0.6, 0.5, 0.4, 0.3, 0.2, 0.1])).toEqual([3]);
  });

  it('lets a tie break a rise', () => {
    expect(nelsonRules([0.1, 0.2, 0.3, 0.3, 0.5, 0.6])).toEqual([]);
  });

  it('finds rule 1 broken beyond 3', () => {
    expect(nelsonRules([3.01])).toEqual([1]);
  });

  it('finds rule 2 broken by the ninth point on one side, not by the eighth', () => {
    expect(nelsonRules(new Array<number>(9).fill(0.1))).toEqual([2]);
    expect(nelsonRules(new Array<number>(8).fill(0.1))).toEqual([]);
  });

  it('finds rule 4 broken by fourteen that alternate, not by thirteen', () => {
    expect(nelsonRules(inTurn(0.5, 14))).toEqual([4]);
    expect(nelsonRules(inTurn(0.5, 13))).toEqual([]);
  });

  it('finds rules 5 and 6 where Western Electric has 2 and 3', () => {
    expect(nelsonRules([2.1, 0.5, 2.2])).toEqual([5]);
    expect(nelsonRules([1.1, 1.2, 0.2, 1.3, 1.4])).toEqual([6]);
  });

  it('finds rule 7 broken by fifteen within 1, and rule 4 with it when they alternate', () => {
    expect(nelsonRules(inTurn(0.9, 15))).toEqual([4, 7]);
    expect(nelsonRules(inTurn(0.9, 14))).toEqual([4]);
    expect(nelsonRules([...inTurn(0.9, 14), 1])).not.toContain(7);
  });

  it('finds rule 8 broken by eight beyond 1 on both sides', () => {
    expect(nelsonRules(inTurn(1.5, 8))).toEqual([8]);
    expect(nelsonRules([...inTurn(1.5, 7), 1])).toEqual([]);
  });

  it('judges mirrored points alike', () => {
    const points = fc.array(fc.double({ min: -4, max: 4, noNaN: true }), { maxLength: 20 });
    fc.assert(
      fc.property(points, (each) => {
        const mirrored = each.map((z) => -z);
        expect(nelsonRules(mirrored)).toEqual(nelsonRules(each));
        expect(westernElectricRules(mirrored)).toEqual(westernElectricRules(each));
      }),
    );
  });
});
