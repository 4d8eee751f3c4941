import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { thermalReplica, timeToTrip } from '#server/calc/condition/thermal-replica.ts';
import { amperes, milliseconds, ratio } from '#server/calc/units.ts';

const MINUTE_MS = 60_000;
const design = {
  ratedCurrent: amperes(100),
  overloadFactor: 1.05,
  heatingTime: milliseconds(10 * MINUTE_MS),
  coolingTime: milliseconds(40 * MINUTE_MS),
};
const cold = ratio(0);
/** What a motor comes to at 0.9 times its rated current. */
const warm = ratio((0.9 / 1.05) ** 2);

function after(warmth: number, current: number, minutes: number) {
  const load = { current: amperes(current), time: milliseconds(minutes * MINUTE_MS) };
  return thermalReplica(ratio(warmth), load, design);
}

describe('timeToTrip', () => {
  it('is 6.7334 min cold and 2.2706 min from 0.9, at 1.5 times the rated current (C8, by hand)', () => {
    expect((timeToTrip(cold, amperes(150), design) ?? NaN) / MINUTE_MS).toBeCloseTo(6.7334, 3);
    expect((timeToTrip(warm, amperes(150), design) ?? NaN) / MINUTE_MS).toBeCloseTo(2.2706, 3);
  });

  it('is null at a current that the motor carries for ever, up to 1.05 times the rated one', () => {
    expect(timeToTrip(warm, amperes(105), design)).toBeNull();
    expect(timeToTrip(warm, amperes(105.01), design)).toBeGreaterThan(0);
  });

  it('is zero once the motor is warm enough, whatever the current', () => {
    expect(timeToTrip(ratio(1), amperes(50), design)).toBe(0);
  });

  it('refuses a negative warmth and a negative current', () => {
    expect(() => timeToTrip(ratio(-1), amperes(1), design)).toThrow(
      new RangeError('FIGURE_INPUT timeToTrip.warmth [1]: got -1, expected >= 0'),
    );
    expect(() => timeToTrip(cold, amperes(-1), design)).toThrow(
      new RangeError('FIGURE_INPUT timeToTrip.current [A]: got -1, expected >= 0'),
    );
  });
});

describe('thermalReplica', () => {
  it('reaches 1 after 6.7334 min at 1.5 times the rated current, from cold (C8)', () => {
    expect(after(0, 150, 6.7334)).toBeCloseTo(1, 4);
  });

  it('cools with its own, slower time at rest', () => {
    expect(after(1, 0, 40)).toBeCloseTo(Math.exp(-1), 12);
  });

  it('cools with the heating time while it still turns', () => {
    expect(after(1, 1e-6, 10)).toBeCloseTo(Math.exp(-1), 9);
  });

  it.each([
    [-1, 1, 1, {}, 'thermalReplica.warmth [1]: got -1, expected >= 0'],
    [0, -1, 1, {}, 'thermalReplica.current [A]: got -1, expected >= 0'],
    [0, 1, -1, {}, 'thermalReplica.time [ms]: got -1, expected >= 0'],
    [0, 1, 1, { ratedCurrent: amperes(0) }, 'thermalReplica.ratedCurrent [A]: got 0, expected > 0'],
    [0, 1, 1, { overloadFactor: 0 }, 'thermalReplica.overloadFactor [1]: got 0, expected > 0'],
    [0, 1, 1, { heatingTime: milliseconds(0) }, 'thermalReplica.heatingTime [ms]: got 0, expected > 0'],
    [0, 1, 1, { coolingTime: milliseconds(0) }, 'thermalReplica.coolingTime [ms]: got 0, expected > 0'],
  ])('refuses warmth %d, current %d, time %d with %o', (...[warmth, current, time, wrong, message]) => {
    const load = { current: amperes(current), time: milliseconds(time) };
    const compute = () => thermalReplica(ratio(warmth), load, { ...design, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('comes to the same in one step as in two', () => {
    const minutes = fc.double({ min: 0, max: 30, noNaN: true });
    fc.assert(
      fc.property(
        minutes,
        minutes,
        fc.double({ min: 0, max: 300, noNaN: true }),
        (first, second, current) => {
          const twoSteps = after(after(0.3, current, first), current, second);
          expect(twoSteps).toBeCloseTo(after(0.3, current, first + second), 9);
        },
      ),
    );
  });

  it('stands at 1 just when timeToTrip said', () => {
    fc.assert(
      fc.property(fc.double({ min: 110, max: 600, noNaN: true }), (current) => {
        const minutes = (timeToTrip(warm, amperes(current), design) ?? NaN) / MINUTE_MS;
        expect(after(warm, current, minutes)).toBeCloseTo(1, 9);
      }),
    );
  });
});
