import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dryMatter } from '#server/calc/moisture/dry-matter.ts';
import { massAtMoisture } from '#server/calc/moisture/mass-at-moisture.ts';
import { dryBasis, wetBasis } from '#server/calc/moisture/moisture-basis.ts';
import { KG_PER_LB, kilograms, ratio } from '#server/calc/units.ts';

const drying = { from: ratio(0.16), to: ratio(0.11) };

describe('massAtMoisture', () => {
  it('leaves 943.82 kg of 1000 kg dried from 16 to 11 %, by hand', () => {
    expect(massAtMoisture(kilograms(1000), drying)).toBeCloseTo(943.82, 2);
  });

  it('takes about 56 lb from 1000 lb soybeans dried from 16 to 11 % (M1, South Dakota State Univ. Extension 2018)', () => {
    const lost = 1000 - massAtMoisture(kilograms(1000 * KG_PER_LB), drying) / KG_PER_LB;
    expect(lost).toBeCloseTo(56.18, 2);
  });

  // Shrink of one point of moisture, in per cent of the mass; the last is the standard number of extension services.
  it.each([
    [0.13, 1.1494],
    [0.15, 1.1765],
    [0.155, 1.1834],
  ])('takes, for each point down to %d, %d %% of the mass', (to, shrink) => {
    const left = massAtMoisture(kilograms(100), { from: ratio(to + 0.01), to: ratio(to) });
    expect(100 - left).toBeCloseTo(shrink, 4);
  });

  it('adds mass where seed is wetted', () => {
    const wetted = massAtMoisture(kilograms(1000), { from: ratio(0.11), to: ratio(0.16) });
    expect(wetted).toBeCloseTo(1059.52, 2);
  });

  it('takes moistures of exactly 0 and 0.6', () => {
    expect(massAtMoisture(kilograms(100), { from: ratio(0.6), to: ratio(0) })).toBeCloseTo(40, 10);
  });

  it.each([
    [-1, drying, 'massAtMoisture.mass [kg]: got -1, expected >= 0'],
    [1, { ...drying, from: ratio(0.61) }, 'massAtMoisture.from [1]: got 0.61, expected 0 to 0.6'],
    [1, { ...drying, to: ratio(-0.01) }, 'massAtMoisture.to [1]: got -0.01, expected 0 to 0.6'],
  ])('refuses %d kg with %o and names it', (mass, change, message) => {
    expect(() => massAtMoisture(kilograms(mass), change)).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('keeps the dry matter, whatever the two moistures', () => {
    const moisture = fc.double({ min: 0, max: 0.6, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e5, noNaN: true }), moisture, moisture, (mass, from, to) => {
        const before = kilograms(mass);
        const after = massAtMoisture(before, { from: ratio(from), to: ratio(to) });
        expect(dryMatter(after, ratio(to))).toBeCloseTo(dryMatter(before, ratio(from)), 6);
      }),
    );
  });
});

describe('dryMatter', () => {
  it('finds 840 kg in 1000 kg of 16 %, by hand', () => {
    expect(dryMatter(kilograms(1000), ratio(0.16))).toBeCloseTo(840, 10);
  });

  it('refuses a negative mass and a moisture above 0.6', () => {
    expect(() => dryMatter(kilograms(-1), ratio(0.1))).toThrow(
      new RangeError('FIGURE_INPUT massAtMoisture.mass [kg]: got -1, expected >= 0'),
    );
    expect(() => dryMatter(kilograms(1), ratio(0.7))).toThrow(
      new RangeError('FIGURE_INPUT massAtMoisture.from [1]: got 0.7, expected 0 to 0.6'),
    );
  });
});

describe('dryBasis and wetBasis', () => {
  it('make 17.6471 % dry basis of 15 % wet basis, and 20 % wet basis of 25 % dry basis (M3, by hand)', () => {
    expect(dryBasis(ratio(0.15)) * 100).toBeCloseTo(17.6471, 4);
    expect(wetBasis(ratio(0.25)) * 100).toBeCloseTo(20, 10);
  });

  it('refuse what is no moisture', () => {
    expect(() => dryBasis(ratio(1))).toThrow(
      new RangeError('FIGURE_INPUT dryBasis.wetBasisMoisture [1]: got 1, expected 0 to 0.99'),
    );
    expect(() => wetBasis(ratio(-0.1))).toThrow(
      new RangeError('FIGURE_INPUT wetBasis.dryBasisMoisture [1]: got -0.1, expected >= 0'),
    );
  });

  it('undo each other', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.9, noNaN: true }), (moisture) => {
        expect(wetBasis(dryBasis(ratio(moisture)))).toBeCloseTo(moisture, 12);
      }),
    );
  });
});
