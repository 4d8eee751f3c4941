import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { VIBRATION_LIMITS, vibrationZone } from '#server/calc/condition/vibration-zone.ts';
import { windingMargin } from '#server/calc/condition/winding-margin.ts';
import { celsius, millimetresPerSecond } from '#server/calc/units.ts';

const rigid = VIBRATION_LIMITS['group-2-rigid'];
const zoneAt = (velocity: number) => vibrationZone(millimetresPerSecond(velocity), rigid);

describe('vibrationZone', () => {
  it('is A, B, C and D at 1.3, 2.0, 3.0 and 5.0 mm/s for group 2 on rigid support (C13, ISO 10816-3, from memory)', () => {
    expect([1.3, 2, 3, 5].map(zoneAt)).toEqual(['A', 'B', 'C', 'D']);
  });

  it('counts a velocity exactly at a limit to the better zone', () => {
    expect([1.4, 2.8, 4.5].map(zoneAt)).toEqual(['A', 'B', 'C']);
    expect([1.401, 2.801, 4.501].map(zoneAt)).toEqual(['B', 'C', 'D']);
  });

  it('refuses a negative velocity, and limits that do not rise', () => {
    expect(() => zoneAt(-1)).toThrow(
      new RangeError('FIGURE_INPUT vibrationZone.velocity [mm/s]: got -1, expected >= 0'),
    );
    const one = millimetresPerSecond(1);
    expect(() => vibrationZone(one, { ...rigid, ab: millimetresPerSecond(0) })).toThrow(
      new RangeError('FIGURE_INPUT vibrationZone.ab [mm/s]: got 0, expected > 0'),
    );
    expect(() => vibrationZone(one, { ...rigid, bc: millimetresPerSecond(1.4) })).toThrow(
      new RangeError('FIGURE_INPUT vibrationZone.bc [mm/s]: got 1.4, expected > 1.4'),
    );
    expect(() => vibrationZone(one, { ...rigid, cd: millimetresPerSecond(2) })).toThrow(
      new RangeError('FIGURE_INPUT vibrationZone.cd [mm/s]: got 2, expected > 2.8'),
    );
  });

  it('never gets better as the vibration grows, for any kind of machine', () => {
    const velocity = fc.double({ min: 0, max: 15, noNaN: true });
    fc.assert(
      fc.property(fc.constantFrom(...Object.values(VIBRATION_LIMITS)), velocity, velocity, (limits, a, b) => {
        const weak = vibrationZone(millimetresPerSecond(Math.min(a, b)), limits);
        const strong = vibrationZone(millimetresPerSecond(Math.max(a, b)), limits);
        expect(strong >= weak).toBe(true);
      }),
    );
  });
});

describe('windingMargin', () => {
  it('is 15 K for a winding of class F at 140 degC, by hand', () => {
    expect(windingMargin(celsius(140), 'F')).toBe(15);
  });

  it('counts down to 105, 130, 155 and 180 degC, and below zero beyond', () => {
    expect((['A', 'B', 'F', 'H'] as const).map((each) => windingMargin(celsius(160), each))).toEqual([
      -55, -30, -5, 20,
    ]);
  });

  it('refuses a temperature that no winding has', () => {
    expect(() => windingMargin(celsius(401), 'F')).toThrow(
      new RangeError('FIGURE_INPUT windingMargin.temperature [degC]: got 401, expected -60 to 400'),
    );
  });
});
