import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { timeToEmpty } from '#server/calc/dose/time-to-empty.ts';
import { millilitres, millilitresPerMinute } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const tank = {
  volume: millilitres(100_000),
  unusable: millilitres(10_000),
  flow: millilitresPerMinute(500),
  flowFloor: millilitresPerMinute(10),
};

describe('timeToEmpty', () => {
  it('gives 3 h for 90 usable litres at 500 mL/min, by hand', () => {
    expect(valueOf(timeToEmpty(tank))).toBeCloseTo(3, 12);
  });

  it('is zero, not negative, once only the unusable rest is left', () => {
    expect(valueOf(timeToEmpty({ ...tank, volume: millilitres(9000) }))).toBe(0);
  });

  it('is unknown, not infinite, when nothing flows', () => {
    expect(timeToEmpty({ ...tank, flow: millilitresPerMinute(0) })).toEqual({
      known: false,
      because: 'line-stopped',
    });
  });

  it('counts a flow exactly at the floor, and no less', () => {
    expect(timeToEmpty({ ...tank, flow: millilitresPerMinute(10) }).known).toBe(true);
    expect(timeToEmpty({ ...tank, flow: millilitresPerMinute(9.99) }).known).toBe(false);
  });

  it.each([
    [{ volume: millilitres(-1) }, 'timeToEmpty.volume [mL]: got -1, expected >= 0'],
    [{ unusable: millilitres(-1) }, 'timeToEmpty.unusable [mL]: got -1, expected >= 0'],
    [{ flow: millilitresPerMinute(-1) }, 'timeToEmpty.flow [mL/min]: got -1, expected >= 0'],
    [{ flowFloor: millilitresPerMinute(0) }, 'timeToEmpty.flowFloor [mL/min]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => timeToEmpty({ ...tank, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('falls by as much as the clock moves on while the flow stays', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 2.9, noNaN: true }), (elapsedHours) => {
        const later = { ...tank, volume: millilitres(tank.volume - 500 * 60 * elapsedHours) };
        expect(valueOf(timeToEmpty(later)) + elapsedHours).toBeCloseTo(3, 9);
      }),
    );
  });
});
