import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { closure } from '#server/calc/closure.ts';
import { kilograms } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const lot = {
  feed: kilograms(10_000),
  liquidRetained: kilograms(60),
  product: kilograms(8500),
  rejects: [kilograms(900), kilograms(500)],
  losses: kilograms(30),
  binGain: kilograms(100),
  feedFloor: kilograms(50),
};

describe('closure', () => {
  it('gives 0.003 when 30 kg of 10000 kg were not found again, by hand', () => {
    expect(valueOf(closure(lot))).toBeCloseTo(0.003, 12);
  });

  it('is negative when more came out than went in', () => {
    expect(valueOf(closure({ ...lot, product: kilograms(8560) }))).toBeCloseTo(-0.003, 12);
  });

  it('counts what emptying bins gave as having come from them', () => {
    const emptying = { ...lot, binGain: kilograms(-100) };
    expect(valueOf(closure(emptying))).toBeCloseTo(0.023, 12);
  });

  it('misses 0.6 % of the feed at 5 fl oz of 1.1 g/mL on a 60 lb bushel when the liquid is left out, by hand', () => {
    const liquidKgPerBushel = (5 * 29.573_529_562_5 * 1.1) / 1000;
    const bushels = 10_000 / 27.215_542_2;
    const liquid = kilograms(liquidKgPerBushel * bushels);
    const treated = {
      ...lot,
      rejects: [],
      losses: kilograms(0),
      binGain: kilograms(0),
      liquidRetained: liquid,
    };
    const product = kilograms(10_000 + liquid);
    expect(valueOf(closure({ ...treated, product }))).toBeCloseTo(0, 12);
    expect(valueOf(closure({ ...treated, product, liquidRetained: kilograms(0) }))).toBeCloseTo(-0.006, 4);
  });

  it('is unknown, not infinite, when nothing was fed', () => {
    expect(closure({ ...lot, feed: kilograms(0) })).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts a feed exactly at the floor as running, and just below it as stopped', () => {
    expect(closure({ ...lot, feed: kilograms(50) }).known).toBe(true);
    expect(closure({ ...lot, feed: kilograms(49.999) }).known).toBe(false);
  });

  it.each([
    [{ feed: kilograms(-1) }, 'closure.feed [kg or kg/h]: got -1, expected >= 0'],
    [{ liquidRetained: kilograms(-1) }, 'closure.liquidRetained [kg or kg/h]: got -1, expected >= 0'],
    [{ product: kilograms(-1) }, 'closure.product [kg or kg/h]: got -1, expected >= 0'],
    [{ rejects: [kilograms(1), kilograms(-1)] }, 'closure.rejects[1] [kg or kg/h]: got -1, expected >= 0'],
    [{ losses: kilograms(-1) }, 'closure.losses [kg or kg/h]: got -1, expected >= 0'],
    [{ binGain: kilograms(NaN) }, 'closure.binGain [kg or kg/h]: got NaN, expected a finite number'],
    [{ feedFloor: kilograms(0) }, 'closure.feedFloor [kg or kg/h]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => closure({ ...lot, ...wrong })).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('is zero whenever the product is what is left of feed and liquid', () => {
    const mass = fc.double({ min: 0, max: 1000, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(mass, mass, mass, mass), ([liquid, reject, lost, gain]) => {
        const product = kilograms(10_000 + liquid - 2 * reject - lost - gain);
        const rejects = [kilograms(reject), kilograms(reject)];
        const amounts = {
          liquidRetained: kilograms(liquid),
          losses: kilograms(lost),
          binGain: kilograms(gain),
        };
        expect(valueOf(closure({ ...lot, ...amounts, product, rejects }))).toBeCloseTo(0, 12);
      }),
    );
  });
});
