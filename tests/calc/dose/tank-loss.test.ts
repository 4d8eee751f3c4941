import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tankLoss } from '#server/calc/dose/tank-loss.ts';
import { kilograms } from '#server/calc/units.ts';

const rules = { noise: kilograms(0.5), settleMs: 30_000, maxGapMs: 120_000 };

function weights(...pairs: readonly (readonly [seconds: number, kg: number | null])[]) {
  return pairs.map(([seconds, kg]) => ({
    timeMs: seconds * 1000,
    value: kg === null ? null : kilograms(kg),
  }));
}

describe('tankLoss', () => {
  it('finds 2 kg lost and holds 1.5 kg over a refill, by hand', () => {
    const readings = weights([0, 100], [120, 98], [150, 130], [180, 150], [210, 149]);
    expect(tankLoss(readings, rules)).toEqual({
      lost: 2,
      weighedMs: 120_000,
      held: 1.5,
      heldMs: 90_000,
      refills: 1,
    });
  });

  it('holds the refill from the last of several equal weights on, by hand', () => {
    const readings = weights([0, 100], [60, 99], [120, 99], [150, 150], [180, 149.5]);
    expect(tankLoss(readings, rules)).toMatchObject({
      lost: 1,
      weighedMs: 120_000,
      held: 0.5,
      heldMs: 60_000,
    });
  });

  it('goes on weighing when the refill has settled, by hand', () => {
    const readings = weights([0, 100], [120, 98], [150, 150], [180, 149.5], [240, 148.5]);
    expect(tankLoss(readings, rules)).toMatchObject({
      lost: 3,
      weighedMs: 180_000,
      heldMs: 60_000,
      refills: 1,
    });
  });

  it('takes a rise exactly as large as the noise for noise', () => {
    expect(tankLoss(weights([0, 100], [60, 99], [90, 99.5], [120, 98]), rules).refills).toBe(0);
    expect(tankLoss(weights([0, 100], [60, 99], [90, 99.501], [120, 98]), rules).refills).toBe(1);
  });

  it('sees a slow refill that rises by less than the noise from each reading to the next', () => {
    const rise = [0, 30, 60, 90, 120].map((seconds) => [seconds, 50 + seconds / 100] as const);
    expect(tankLoss(weights(...rise), rules).refills).toBe(1);
  });

  it('holds nothing over a refill that nothing was drawn before', () => {
    expect(tankLoss(weights([0, 10], [30, 60], [60, 100], [90, 99.5]), rules)).toMatchObject({
      held: 0,
      heldMs: 0,
      refills: 1,
    });
  });

  it('adds nothing over a gap', () => {
    expect(tankLoss(weights([0, 100], [60, 99], [181, 90], [241, 89]), rules)).toMatchObject({
      lost: 2,
      weighedMs: 120_000,
    });
  });

  it('passes over readings without a value', () => {
    expect(tankLoss(weights([0, 100], [30, null], [60, 99]), rules)).toMatchObject({
      lost: 1,
      weighedMs: 60_000,
    });
  });

  it('has lost nothing, not less than nothing, when only noise moves the weight', () => {
    expect(tankLoss(weights([0, 100], [60, 100.2]), rules).lost).toBe(0);
  });

  it('knows nothing without readings', () => {
    expect(tankLoss([], rules)).toEqual({ lost: 0, weighedMs: 0, held: 0, heldMs: 0, refills: 0 });
  });

  it.each([
    [{ noise: kilograms(0) }, 'tankLoss.noise [kg]: got 0, expected > 0'],
    [{ settleMs: 0 }, 'tankLoss.settleMs [ms]: got 0, expected > 0'],
    [{ maxGapMs: 0 }, 'tankLoss.maxGapMs [ms]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => tankLoss([], { ...rules, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('refuses weights out of time order', () => {
    expect(() => tankLoss(weights([2, 1], [1, 1]), rules)).toThrow(
      new RangeError('FIGURE_INPUT tankLoss.weights[1].timeMs: got 1000, expected >= 2000'),
    );
  });

  it('finds what a steady pump drew, through refills at any time', () => {
    const refillSeconds = fc.array(fc.integer({ min: 600, max: 3000 }), { maxLength: 3 });
    fc.assert(
      fc.property(refillSeconds, fc.double({ min: 0.5, max: 5, noNaN: true }), (refills, kgPerMinute) => {
        const times = Array.from({ length: 361 }, (_, index) => index * 10);
        const filled = (seconds: number) => refills.filter((start) => seconds > start).length * 80;
        const readings = times.map((seconds) => {
          return [seconds, 500 + filled(seconds) - (kgPerMinute * seconds) / 60] as const;
        });
        const { lost, held, weighedMs, heldMs } = tankLoss(weights(...readings), rules);
        expect(lost + held).toBeCloseTo(kgPerMinute * 60, 6);
        expect(weighedMs + heldMs).toBe(3_600_000);
      }),
    );
  });
});
