import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  logisticPartition,
  lynchRaoPartition,
  overloaded,
  withBypass,
} from '#simulator/physics/partition.ts';

const cut = { at: 8, probableError: 0.5 };

describe('logisticPartition', () => {
  it('gives 0.5, 0.75, 0.90, 0.25 at 8, 8.5, 9, 7.5 for x50 = 8, Ep = 0.5 (handbook S1)', () => {
    expect(logisticPartition(8, cut)).toBeCloseTo(0.5, 12);
    expect(logisticPartition(8.5, cut)).toBeCloseTo(0.75, 12);
    expect(logisticPartition(9, cut)).toBeCloseTo(0.9, 12);
    expect(logisticPartition(7.5, cut)).toBeCloseTo(0.25, 12);
  });

  it('reaches 0.95 at 9.340072 (handbook S2)', () => {
    expect(logisticPartition(9.340072, cut)).toBeCloseTo(0.95, 6);
  });

  it('never falls as the property rises', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (x, more) => {
          expect(logisticPartition(x + more, cut)).toBeGreaterThanOrEqual(logisticPartition(x, cut));
        },
      ),
    );
  });
});

describe('lynchRaoPartition', () => {
  it('cuts in half at its cut point whatever its sharpness (handbook 10.7)', () => {
    for (const sharpness of [1, 4, 11, 40]) expect(lynchRaoPartition(6, 6, sharpness)).toBeCloseTo(0.5, 12);
  });

  it('sends nothing to the high side at 0 and nearly all at three times the cut', () => {
    expect(lynchRaoPartition(0, 6, 5)).toBe(0);
    expect(lynchRaoPartition(18, 6, 5)).toBeGreaterThan(0.999);
  });
});

describe('withBypass and overloaded', () => {
  it('leave 0.6 of a share of 0.75 when a fifth is missed, by hand', () => {
    expect(withBypass(0.75, 0.2)).toBeCloseTo(0.6, 12);
  });

  it('blur only above rated feed: Ep0 (1 + 1.5 * 0.2) at 1.2 times (handbook 10.7)', () => {
    expect(overloaded(cut, 0.9).probableError).toBe(0.5);
    expect(overloaded(cut, 1.2).probableError).toBeCloseTo(0.65, 12);
  });
});
