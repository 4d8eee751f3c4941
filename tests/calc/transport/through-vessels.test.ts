import { describe, expect, it } from 'vitest';
import { throughVessels, vesselsDelayS } from '#server/calc/transport/through-vessels.ts';

const times = { mixingS: 60, intervalS: 1 };

/** Nothing for a second, then a pulse of one interval. */
const pulse = Float64Array.from({ length: 3000 }, (_, index) => (index === 1 ? 1 : 0));

describe('throughVessels', () => {
  it('lets a flow through as it is without mixing', () => {
    expect(throughVessels(pulse, { mixingS: 0, intervalS: 1 })).toEqual(pulse);
  });

  it('reaches a step in the end, and has come 58 % of the way after its mean delay', () => {
    const step = pulse.map((_, index) => (index >= 1 ? 100 : 0));
    const out = throughVessels(step, times);
    expect(out.at(-1)).toBeCloseTo(100, 9);
    // Three vessels of 20 s: 1 - e^-3 (1 + 3 + 4.5) = 57.7 % after 60 s, Levenspiel's F curve for N = 3 (from memory).
    expect(out[60]).toBeGreaterThan(56);
    expect(out[60]).toBeLessThan(60);
  });

  it('loses nothing, and delays in the mean by what vesselsDelayS says', () => {
    const out = throughVessels(pulse, times);
    const mass = out.reduce((sum, value) => sum + value, 0);
    const mean = out.reduce((sum, value, index) => sum + value * (index - 1), 0);
    expect(mass).toBeCloseTo(1, 9);
    expect(mean).toBeCloseTo(vesselsDelayS(times), 6);
  });

  it('refuses a negative mixing time and an interval of nothing', () => {
    expect(() => throughVessels(pulse, { mixingS: -1, intervalS: 1 })).toThrow(
      'FIGURE_INPUT throughVessels.mixingS [s]: got -1, expected >= 0',
    );
    expect(() => throughVessels(pulse, { mixingS: 1, intervalS: 0 })).toThrow(
      'FIGURE_INPUT throughVessels.intervalS [s]: got 0, expected > 0',
    );
  });
});
