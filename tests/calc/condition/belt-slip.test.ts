import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beltSlip } from '#server/calc/condition/belt-slip.ts';
import { ratio, revolutionsPerMinute as rpm } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const drive = {
  driverSpeed: rpm(1750),
  drivenSpeed: rpm(1083),
  diameterRatio: ratio(9.5 / 6),
  driverSpeedFloor: rpm(50),
};

describe('beltSlip', () => {
  it('is 2.014 % when 1750/min on 6.0 in drive 9.5 in at 1083/min (C11, by hand)', () => {
    expect(valueOf(beltSlip(drive)) * 100).toBeCloseTo(2.014, 3);
  });

  it('is 1 when the driven pulley stands', () => {
    expect(valueOf(beltSlip({ ...drive, drivenSpeed: rpm(0) }))).toBe(1);
  });

  it('is unknown, not infinite, when the drive is off', () => {
    const off = { ...drive, driverSpeed: rpm(0), drivenSpeed: rpm(0) };
    expect(beltSlip(off)).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts a driver exactly at the floor as running, and no slower one', () => {
    expect(beltSlip({ ...drive, driverSpeed: rpm(50) }).known).toBe(true);
    expect(beltSlip({ ...drive, driverSpeed: rpm(49.9) }).known).toBe(false);
  });

  it.each([
    [{ driverSpeed: rpm(-1) }, 'beltSlip.driverSpeed [1/min]: got -1, expected >= 0'],
    [{ drivenSpeed: rpm(-1) }, 'beltSlip.drivenSpeed [1/min]: got -1, expected >= 0'],
    [{ diameterRatio: ratio(0) }, 'beltSlip.diameterRatio [1]: got 0, expected > 0'],
    [{ driverSpeedFloor: rpm(0) }, 'beltSlip.driverSpeedFloor [1/min]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => beltSlip({ ...drive, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('does not change when the whole drive runs faster', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.1, max: 3, noNaN: true }), (factor) => {
        const faster = { ...drive, driverSpeed: rpm(1750 * factor), drivenSpeed: rpm(1083 * factor) };
        expect(valueOf(beltSlip(faster))).toBeCloseTo(valueOf(beltSlip(drive)), 12);
      }),
    );
  });
});
