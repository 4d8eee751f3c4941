import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { failureTimes } from '#server/calc/effectiveness/failure-times.ts';
import { specificEnergy } from '#server/calc/effectiveness/specific-energy.ts';
import { hours, kilograms, kilowattHours } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const month = { uptime: hours(690), repairTime: hours(30), failures: 5 };

describe('failureTimes', () => {
  it('are 138 h, 6 h and 95.833 % for 720 h with 5 failures and 30 h repair (O4, by hand)', () => {
    const { betweenFailures, toRepair, availability } = failureTimes(month, 'classic');
    expect(betweenFailures).toBeCloseTo(138, 10);
    expect(toRepair).toBeCloseTo(6, 10);
    expect((availability ?? NaN) * 100).toBeCloseTo(95.833, 3);
  });

  it('are 115 h and 5 h by ISO 22400-2, which divides by the failures and one, by hand', () => {
    const { betweenFailures, toRepair } = failureTimes(month, 'iso-22400-2');
    expect(betweenFailures).toBeCloseTo(115, 10);
    expect(toRepair).toBeCloseTo(5, 10);
  });

  it('are null without a failure by the classic definition, and known by the other', () => {
    const healthy = { uptime: hours(720), repairTime: hours(0), failures: 0 };
    expect(failureTimes(healthy, 'classic')).toEqual({
      betweenFailures: null,
      toRepair: null,
      availability: null,
    });
    expect(failureTimes(healthy, 'iso-22400-2').betweenFailures).toBe(720);
  });

  it('have no availability without any time', () => {
    const nothing = { uptime: hours(0), repairTime: hours(0), failures: 1 };
    expect(failureTimes(nothing, 'classic').availability).toBeNull();
  });

  it.each(['uptime', 'repairTime'])('refuses a negative %s', (name) => {
    expect(() => failureTimes({ ...month, [name]: hours(-1) }, 'classic')).toThrow(
      new RangeError(`FIGURE_INPUT failureTimes.${name} [h]: got -1, expected >= 0`),
    );
  });

  it('refuses fewer failures than none', () => {
    expect(() => failureTimes({ ...month, failures: -1 }, 'classic')).toThrow(
      new RangeError('FIGURE_INPUT failureTimes.failures [1]: got -1, expected >= 0'),
    );
  });

  it('give the same availability by both definitions', () => {
    const time = fc.double({ min: 1, max: 1000, noNaN: true });
    fc.assert(
      fc.property(time, time, fc.integer({ min: 1, max: 50 }), (uptime, repairTime, failures) => {
        const history = { uptime: hours(uptime), repairTime: hours(repairTime), failures };
        const classic = failureTimes(history, 'classic');
        expect(failureTimes(history, 'iso-22400-2').availability).toBe(classic.availability);
        const [mtbf, mttr] = [classic.betweenFailures ?? NaN, classic.toRepair ?? NaN];
        expect(classic.availability).toBeCloseTo(mtbf / (mtbf + mttr), 12);
      }),
    );
  });
});

describe('specificEnergy', () => {
  const shift = { energy: kilowattHours(186), seed: kilograms(24_500), seedFloor: kilograms(100) };

  it('is 7.5918 kWh/t for 186 kWh and 24.5 t (O5, by hand)', () => {
    expect(valueOf(specificEnergy(shift))).toBeCloseTo(7.5918, 4);
  });

  it('is unknown, not infinite, without seed', () => {
    expect(specificEnergy({ ...shift, seed: kilograms(0) })).toEqual({
      known: false,
      because: 'line-stopped',
    });
  });

  it('counts seed exactly at the floor, and no less', () => {
    expect(specificEnergy({ ...shift, seed: kilograms(100) }).known).toBe(true);
    expect(specificEnergy({ ...shift, seed: kilograms(99.9) }).known).toBe(false);
  });

  it.each([
    [{ energy: kilowattHours(-1) }, 'specificEnergy.energy [kWh]: got -1, expected >= 0'],
    [{ seed: kilograms(-1) }, 'specificEnergy.seed [kg]: got -1, expected >= 0'],
    [{ seedFloor: kilograms(0) }, 'specificEnergy.seedFloor [kg]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => specificEnergy({ ...shift, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('does not change when energy and seed double', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1000, noNaN: true }), (factor) => {
        const more = { ...shift, energy: kilowattHours(186 * factor), seed: kilograms(24_500 * factor) };
        expect(valueOf(specificEnergy(more))).toBeCloseTo(valueOf(specificEnergy(shift)), 10);
      }),
    );
  });
});
