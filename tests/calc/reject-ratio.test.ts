import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rejectRatio } from '#server/calc/reject-ratio.ts';
import { kilograms, kilogramsPerHour } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const running = { machineFeed: kilograms(6000), reject: kilograms(300), machineFeedFloor: kilograms(20) };

describe('rejectRatio', () => {
  it('gives 0.05 for 300 kg taken out of 6000 kg fed to the machine, by hand', () => {
    expect(valueOf(rejectRatio(running))).toBeCloseTo(0.05, 12);
  });

  it('takes rates of one instant as well as totals', () => {
    const now = {
      machineFeed: kilogramsPerHour(6000),
      reject: kilogramsPerHour(300),
      machineFeedFloor: kilogramsPerHour(20),
    };
    expect(valueOf(rejectRatio(now))).toBeCloseTo(0.05, 12);
  });

  it('is unknown, not infinite, when nothing is fed', () => {
    expect(rejectRatio({ ...running, machineFeed: kilograms(0) })).toEqual({
      known: false,
      because: 'line-stopped',
    });
  });

  it('counts a feed exactly at the floor as running, and just below it as stopped', () => {
    expect(rejectRatio({ ...running, machineFeed: kilograms(20) }).known).toBe(true);
    expect(rejectRatio({ ...running, machineFeed: kilograms(19.999) }).known).toBe(false);
  });

  it.each([
    [{ machineFeed: kilograms(-1) }, 'rejectRatio.machineFeed [kg or kg/h]: got -1, expected >= 0'],
    [{ reject: kilograms(-1) }, 'rejectRatio.reject [kg or kg/h]: got -1, expected >= 0'],
    [{ machineFeedFloor: kilograms(0) }, 'rejectRatio.machineFeedFloor [kg or kg/h]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => rejectRatio({ ...running, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('does not change when feed and reject grow by the same factor', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1000, noNaN: true }), (factor) => {
        const scaled = {
          ...running,
          machineFeed: kilograms(6000 * factor),
          reject: kilograms(300 * factor),
        };
        expect(valueOf(rejectRatio(scaled))).toBeCloseTo(0.05, 10);
      }),
    );
  });
});
