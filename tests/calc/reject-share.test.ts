import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rejectShare } from '#server/calc/reject-share.ts';
import { kilograms, kilogramsPerHour } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const running = { lineFeed: kilograms(10_000), reject: kilograms(300), lineFeedFloor: kilograms(20) };

describe('rejectShare', () => {
  it('gives 0.03 for 300 kg taken out of 10_000 kg fed to the line, by hand', () => {
    expect(valueOf(rejectShare(running))).toBeCloseTo(0.03, 12);
  });

  it('takes rates of one instant as well as totals', () => {
    const now = {
      lineFeed: kilogramsPerHour(10_000),
      reject: kilogramsPerHour(300),
      lineFeedFloor: kilogramsPerHour(20),
    };
    expect(valueOf(rejectShare(now))).toBeCloseTo(0.03, 12);
  });

  it('is unknown, not infinite, when nothing is fed', () => {
    expect(rejectShare({ ...running, lineFeed: kilograms(0) })).toEqual({
      known: false,
      because: 'line-stopped',
    });
  });

  it('counts a feed exactly at the floor as running, and just below it as stopped', () => {
    expect(rejectShare({ ...running, lineFeed: kilograms(20) }).known).toBe(true);
    expect(rejectShare({ ...running, lineFeed: kilograms(19.999) }).known).toBe(false);
  });

  it.each([
    [{ lineFeed: kilograms(-1) }, 'rejectShare.lineFeed [kg or kg/h]: got -1, expected >= 0'],
    [{ reject: kilograms(-1) }, 'rejectShare.reject [kg or kg/h]: got -1, expected >= 0'],
    [{ lineFeedFloor: kilograms(0) }, 'rejectShare.lineFeedFloor [kg or kg/h]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => rejectShare({ ...running, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('does not change when feed and reject grow by the same factor', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1000, noNaN: true }), (factor) => {
        const scaled = {
          ...running,
          lineFeed: kilograms(10_000 * factor),
          reject: kilograms(300 * factor),
        };
        expect(valueOf(rejectShare(scaled))).toBeCloseTo(0.03, 10);
      }),
    );
  });
});
