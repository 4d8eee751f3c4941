import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { catchTest } from '#server/calc/dose/catch-test.ts';
import { correctedKFactor } from '#server/calc/dose/corrected-k-factor.ts';
import { millilitres, milliseconds } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

const caught = [101.2, 98.7, 100.4, 99.1, 100.6].map(millilitres);
const minute = milliseconds(60_000);

describe('catchTest', () => {
  it('gives 100.0 mL/min and a variation of 1.0559 % (D8, by hand)', () => {
    const { flow, variation } = catchTest({ catches: caught, duration: minute });
    expect(flow).toBeCloseTo(100, 10);
    expect(valueOf(variation) * 100).toBeCloseTo(1.0559, 4);
  });

  it('has no variation to speak of when every catch is empty', () => {
    const { flow, variation } = catchTest({ catches: [0, 0, 0].map(millilitres), duration: minute });
    expect(flow).toBe(0);
    expect(variation).toEqual({ known: false, because: 'line-stopped' });
  });

  it('takes three catches, and refuses two', () => {
    expect(catchTest({ catches: caught.slice(0, 3), duration: minute }).variation.known).toBe(true);
    expect(() => catchTest({ catches: caught.slice(0, 2), duration: minute })).toThrow(
      new RangeError('FIGURE_INPUT catchTest.catches count [1]: got 2, expected >= 3'),
    );
  });

  it('refuses a negative catch and a duration that is not positive', () => {
    expect(() => catchTest({ catches: [...caught, millilitres(-1)], duration: minute })).toThrow(
      new RangeError('FIGURE_INPUT catchTest.catches[5] [mL]: got -1, expected >= 0'),
    );
    expect(() => catchTest({ catches: caught, duration: milliseconds(0) })).toThrow(
      new RangeError('FIGURE_INPUT catchTest.duration [ms]: got 0, expected > 0'),
    );
  });

  it('halves the flow and keeps the variation when the same catches took twice as long', () => {
    const volumes = fc.array(fc.double({ min: 1, max: 1000, noNaN: true }), { minLength: 3, maxLength: 10 });
    fc.assert(
      fc.property(volumes, (each) => {
        const catches = each.map(millilitres);
        const quick = catchTest({ catches, duration: minute });
        const slow = catchTest({ catches, duration: milliseconds(120_000) });
        expect(slow.flow * 2).toBeCloseTo(quick.flow, 8);
        expect(slow.variation).toEqual(quick.variation);
      }),
    );
  });
});

describe('correctedKFactor', () => {
  const volumes = { indicated: millilitres(490), caught: millilitres(500) };

  it('gives 9.8 pulses a mL when a meter of 10 shows 490 mL for 500 mL, by hand', () => {
    expect(correctedKFactor(10, volumes)).toBeCloseTo(9.8, 12);
  });

  it.each([
    [0, volumes, 'correctedKFactor.kFactor [1/mL]: got 0, expected > 0'],
    [10, { ...volumes, indicated: millilitres(0) }, 'correctedKFactor.indicated [mL]: got 0, expected > 0'],
    [10, { ...volumes, caught: millilitres(0) }, 'correctedKFactor.caught [mL]: got 0, expected > 0'],
  ])('refuses a factor of %d with %o and names it', (factor, wrong, message) => {
    expect(() => correctedKFactor(factor, wrong)).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('makes the meter read what was caught', () => {
    const positive = fc.double({ min: 1, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(positive, positive, positive, (kFactor, indicated, truth) => {
        const pulses = indicated * kFactor;
        const better = correctedKFactor(kFactor, {
          indicated: millilitres(indicated),
          caught: millilitres(truth),
        });
        expect(pulses / better / truth).toBeCloseTo(1, 12);
      }),
    );
  });
});
