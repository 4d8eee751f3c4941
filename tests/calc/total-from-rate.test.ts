import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { totalFromRate } from '#server/calc/total-from-rate.ts';
import { kilogramsPerHour } from '#server/calc/units.ts';

const linear = { between: 'linear', maxGapMs: 60_000 } as const;
const step = { between: 'step', maxGapMs: 60_000 } as const;
const minute = { fromMs: 0, toMs: 60_000 };

function rates(...pairs: readonly (readonly [seconds: number, rate: number | null])[]) {
  return pairs.map(([seconds, rate]) => ({
    timeMs: seconds * 1000,
    value: rate === null ? null : kilogramsPerHour(rate),
  }));
}

describe('totalFromRate', () => {
  it('gives 150 kg for 9000 kg/h over a minute, all of it covered, by hand', () => {
    const { total, coveredMs } = totalFromRate(rates([0, 9000], [60, 9000]), minute, linear);
    expect(total).toBeCloseTo(150, 10);
    expect(coveredMs).toBe(60_000);
  });

  it('takes the straight line between two analogue readings, by hand', () => {
    expect(totalFromRate(rates([0, 0], [60, 9000]), minute, linear).total).toBeCloseTo(75, 10);
  });

  it('holds a stepping value until the next one, by hand', () => {
    expect(totalFromRate(rates([0, 0], [40, 9000]), minute, step).total).toBeCloseTo(50, 10);
  });

  it('cuts the line off at the edges of the window, by hand', () => {
    const { total, coveredMs } = totalFromRate(
      rates([-30, 0], [30, 6000]),
      { fromMs: 0, toMs: 30_000 },
      linear,
    );
    expect(total).toBeCloseTo((4500 * 30) / 3600, 10);
    expect(coveredMs).toBe(30_000);
  });

  it('adds nothing over a gap and says that it is not covered', () => {
    const readings = rates([0, 3600], [10, 3600], [71, 3600], [80, 3600]);
    const { total, coveredMs } = totalFromRate(readings, { fromMs: 0, toMs: 80_000 }, linear);
    expect(total).toBeCloseTo(19, 10);
    expect(coveredMs).toBe(19_000);
  });

  it('still bridges two readings exactly maxGapMs apart', () => {
    expect(totalFromRate(rates([0, 3600], [60, 3600]), minute, linear).coveredMs).toBe(60_000);
    expect(totalFromRate(rates([0, 3600], [60.001, 3600]), minute, linear).coveredMs).toBe(0);
  });

  it('holds the last reading to the end of the window, unless that is too far away', () => {
    expect(totalFromRate(rates([30, 3600]), minute, linear).total).toBeCloseTo(30, 10);
    expect(totalFromRate(rates([-1, 3600]), minute, linear)).toEqual({ total: 0, coveredMs: 0 });
  });

  it('draws no line to or from a reading without a value', () => {
    const { total, coveredMs } = totalFromRate(
      rates([0, 3600], [20, null], [40, 3600], [60, 3600]),
      minute,
      linear,
    );
    expect(total).toBeCloseTo(20, 10);
    expect(coveredMs).toBe(20_000);
  });

  it('holds a stepping value right up to the reading that has none', () => {
    expect(totalFromRate(rates([0, 3600], [20, null]), minute, step).coveredMs).toBe(20_000);
  });

  it('covers nothing without readings', () => {
    expect(totalFromRate([], minute, linear)).toEqual({ total: 0, coveredMs: 0 });
  });

  it('takes two readings at one instant as a jump', () => {
    expect(totalFromRate(rates([0, 0], [30, 0], [30, 3600], [60, 3600]), minute, linear).total).toBeCloseTo(
      30,
      10,
    );
  });

  it('ignores readings after the window but for the line to the first of them', () => {
    const readings = rates([0, 3600], [50, 3600], [70, 3600], [90, 0]);
    expect(totalFromRate(readings, minute, linear).total).toBeCloseTo(60, 10);
  });

  it('refuses readings out of time order', () => {
    expect(() => totalFromRate(rates([0, 1], [2, 1], [1, 1]), minute, linear)).toThrow(
      new RangeError('FIGURE_INPUT coveredIntegral.samples[2].timeMs: got 1000, expected >= 2000'),
    );
  });

  it('refuses a window that ends before it begins', () => {
    expect(() => totalFromRate([], { fromMs: 2, toMs: 1 }, linear)).toThrow(
      new RangeError('FIGURE_INPUT coveredIntegral.window.toMs [ms]: got 1, expected >= 2'),
    );
  });

  it('refuses a negative gap', () => {
    expect(() => totalFromRate([], minute, { between: 'step', maxGapMs: -1 })).toThrow(
      new RangeError('FIGURE_INPUT coveredIntegral.maxGapMs [ms]: got -1, expected >= 0'),
    );
  });

  it('gives the same in one window as in two that meet', () => {
    const readings = fc.array(
      fc.tuple(fc.integer({ min: 0, max: 300 }), fc.option(fc.integer({ min: 0, max: 20_000 }))),
    );
    fc.assert(
      fc.property(
        readings,
        fc.integer({ min: 0, max: 300 }),
        fc.constantFrom(linear, step),
        (pairs, seam, rules) => {
          const inOrder = rates(...pairs.toSorted(([a], [b]) => a - b));
          // A last reading without a value, so that no window holds the reading before it beyond what the other knows.
          const samples = [...inOrder, { timeMs: 300_000, value: null }];
          const seamMs = seam * 1000;
          const whole = totalFromRate(samples, { fromMs: 0, toMs: 300_000 }, rules);
          const first = totalFromRate(samples, { fromMs: 0, toMs: seamMs }, rules);
          const second = totalFromRate(samples, { fromMs: seamMs, toMs: 300_000 }, rules);
          expect(first.total + second.total).toBeCloseTo(whole.total, 6);
          expect(first.coveredMs + second.coveredMs).toBeCloseTo(whole.coveredMs, 6);
        },
      ),
    );
  });
});
