import { describe, expect, it } from 'vitest';
import { flowSteps } from '#server/calc/transport/flow-steps.ts';

const rule = { stepRatio: 0.1, floor: 10 };

describe('flowSteps', () => {
  it('finds two steps in 100, 100, 120, 120, 119, 90, 90, by hand', () => {
    expect(flowSteps([100, 100, 120, 120, 119, 90, 90], rule)).toBe(2);
  });

  it('counts a ramp once, when it has arrived', () => {
    expect(flowSteps([100, 100, 110, 120, 130, 140, 140, 141], rule)).toBe(1);
  });

  it('finds none in a feed that only strays', () => {
    expect(flowSteps([100, 103, 98, 104, 97, 100, 104], rule)).toBe(0);
  });

  it('counts a stop and a start, but nothing that happens below the floor', () => {
    expect(flowSteps([100, 100, 0, 0, 0.4, 0, 0.2, 100, 100], rule)).toBe(2);
  });

  it('counts a step of exactly the ratio of the larger level', () => {
    expect(flowSteps([90, 90, 100, 100], rule)).toBe(1);
    expect(flowSteps([90.01, 90.01, 100, 100], rule)).toBe(0);
  });

  it('is nothing without means, and the same in any unit (property)', () => {
    expect(flowSteps([], rule)).toBe(0);
    const means = [100, 100, 120, 120, 119, 90, 90];
    const inTonnes = means.map((mean) => mean / 1000);
    expect(flowSteps(inTonnes, { stepRatio: 0.1, floor: 0.01 })).toBe(flowSteps(means, rule));
  });

  it('refuses a ratio out of range, a floor of nothing and a negative mean', () => {
    expect(() => flowSteps([], { ...rule, stepRatio: 0 })).toThrow(
      'FIGURE_INPUT flowSteps.stepRatio [1]: got 0, expected 0.01 to 1',
    );
    expect(() => flowSteps([], { ...rule, floor: 0 })).toThrow(
      'FIGURE_INPUT flowSteps.floor: got 0, expected > 0',
    );
    expect(() => flowSteps([-1], rule)).toThrow('FIGURE_INPUT flowSteps.means[0]: got -1, expected >= 0');
  });
});
