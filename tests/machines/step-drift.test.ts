import { describe, expect, it } from 'vitest';
import { levelMin, NO_DRIFT, stepDrift, type DriftState } from '#server/machines/step-drift.ts';
import { randomStream } from '#simulator/physics/random.ts';

const CHART = { deviation: 0.01, widening: 1, smallest: 0.03 };

function after(values: readonly number[], from: DriftState = NO_DRIFT): DriftState {
  return values.reduce((state, value, i) => stepDrift(state, { timeMs: i * 1000, value }, CHART), from);
}

describe('stepDrift', () => {
  it('is quiet on a thousand blocks of a machine that is well', () => {
    const random = randomStream(7, 'well');
    let state = NO_DRIFT;
    for (let i = 0; i < 1000; i += 1) {
      state = stepDrift(state, { timeMs: i, value: 0.01 * random.normal() }, CHART);
      expect(state.drifting).toBeNull();
    }
  });

  it('finds a rise of 5 % after three blocks, and knows that it began with the first of them, by hand', () => {
    // Level 0.0125, 0.0219, 0.0289, 0.0342: the fourth is past 0.03; the sum was past 8 at the second.
    expect(after([0, 0, 0.05, 0.05, 0.05]).drifting).toBeNull();
    expect(after([0, 0, 0.05, 0.05, 0.05, 0.05]).drifting).toEqual({ direction: 'high', sinceMs: 2000 });
  });

  it('finds a fall as it finds a rise', () => {
    expect(after([0, 0, -0.05, -0.05, -0.05, -0.05]).drifting).toEqual({ direction: 'low', sinceMs: 2000 });
  });

  it('does not find what is sure but too small to matter', () => {
    expect(after(new Array<number>(200).fill(0.02)).drifting).toBeNull();
  });

  it('does not take one wild block for a drift', () => {
    expect(after([0, 0, 0.5]).drifting).toBeNull();
  });

  it('stays found while half of it is left, and ends then', () => {
    const found = after(new Array<number>(8).fill(0.05));
    expect(after(new Array<number>(20).fill(0.02), found).drifting?.direction).toBe('high');
    expect(after(new Array<number>(20).fill(0), found).drifting).toBeNull();
  });

  it('asks for more where blocks lean on each other: twice as far for four times the widening', () => {
    const chart = { deviation: 0.02, widening: 1, smallest: 0 };
    expect(levelMin({ ...chart, widening: 4 })).toBeCloseTo(2 * levelMin(chart), 12);
    expect(levelMin({ ...chart, smallest: 1 })).toBe(1);
  });
});
