import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { legSpeed } from '#server/calc/condition/leg-speed.ts';
import { ratio, revolutionsPerMinute as rpm } from '#server/calc/units.ts';

const limits = { warningDrop: ratio(0.1), tripDrop: ratio(0.2) };

describe('legSpeed', () => {
  it('is slow at 35/min of 42/min, a drop of 16.7 %, and due to have tripped at 33.6/min (C12, 29 CFR 1910.272(q))', () => {
    const slow = legSpeed(rpm(35), rpm(42), limits);
    expect(slow.drop * 100).toBeCloseTo(16.7, 1);
    expect(slow.state).toBe('slow');
    expect(legSpeed(rpm(33.6), rpm(42), limits).state).toBe('trip-due');
    expect(legSpeed(rpm(33.61), rpm(42), limits).state).toBe('slow');
  });

  it('is slow exactly at the warning, and normal just above it', () => {
    expect(legSpeed(rpm(90), rpm(100), limits).state).toBe('slow');
    expect(legSpeed(rpm(90.01), rpm(100), limits).state).toBe('normal');
  });

  it('has a negative drop, and is normal, when it runs too fast', () => {
    expect(legSpeed(rpm(105), rpm(100), limits)).toEqual({
      drop: expect.closeTo(-0.05, 12) as number,
      state: 'normal',
    });
  });

  it.each([
    [-1, 42, limits, 'legSpeed.speed [1/min]: got -1, expected >= 0'],
    [42, 0, limits, 'legSpeed.normal [1/min]: got 0, expected > 0'],
    [42, 42, { ...limits, warningDrop: ratio(-0.1) }, 'legSpeed.warningDrop [1]: got -0.1, expected 0 to 1'],
    [42, 42, { ...limits, tripDrop: ratio(1.1) }, 'legSpeed.tripDrop [1]: got 1.1, expected 0 to 1'],
    [42, 42, { ...limits, tripDrop: ratio(0.05) }, 'legSpeed.tripDrop [1]: got 0.05, expected >= 0.1'],
  ])('refuses %d of %d/min with %o', (...[speed, normal, wrong, message]) => {
    const compute = () => legSpeed(rpm(speed), rpm(normal), wrong);
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('never gets better as the leg slows down', () => {
    const order = ['normal', 'slow', 'trip-due'];
    const speed = fc.double({ min: 0, max: 50, noNaN: true });
    fc.assert(
      fc.property(speed, speed, (a, b) => {
        const [slower, faster] = [Math.min(a, b), Math.max(a, b)].map(
          (x) => legSpeed(rpm(x), rpm(42), limits).state,
        );
        expect(order.indexOf(slower ?? '')).toBeGreaterThanOrEqual(order.indexOf(faster ?? ''));
      }),
    );
  });
});
