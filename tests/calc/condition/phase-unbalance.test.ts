import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { phaseUnbalance } from '#server/calc/condition/phase-unbalance.ts';
import { unbalanceDerating } from '#server/calc/condition/unbalance-derating.ts';
import { amperes, ratio, volts } from '#server/calc/units.ts';
import { valueOf } from '#tests/support/value-of.ts';

function voltages(...[a, b, c]: readonly [number, number, number]) {
  return { values: [volts(a), volts(b), volts(c)] as const, meanFloor: volts(50) };
}

describe('phaseUnbalance', () => {
  it('is 1.9608 % for 460, 467 and 450 V (C1, example of NEMA MG-1)', () => {
    expect(valueOf(phaseUnbalance(voltages(460, 467, 450))) * 100).toBeCloseTo(1.9608, 4);
  });

  it('is 1.0870 % for 462, 463 and 455 V (C2, US DOE motor tip sheet, which prints 1.1)', () => {
    expect(valueOf(phaseUnbalance(voltages(462, 463, 455))) * 100).toBeCloseTo(1.087, 3);
  });

  it('is 2.56 % for 203, 210 and 212 V (C3, instrument manual, which prints 2.5)', () => {
    expect(valueOf(phaseUnbalance(voltages(203, 210, 212))) * 100).toBeCloseTo(2.56, 2);
  });

  it('is unknown, not infinite, for a motor that is off', () => {
    expect(phaseUnbalance(voltages(0, 0, 0))).toEqual({ known: false, because: 'line-stopped' });
  });

  it('counts a mean exactly at the floor as running, and no less', () => {
    expect(phaseUnbalance(voltages(50, 50, 50)).known).toBe(true);
    expect(phaseUnbalance(voltages(50, 50, 49.9)).known).toBe(false);
  });

  it('takes currents as well', () => {
    const currents = { values: [amperes(30), amperes(30), amperes(24)] as const, meanFloor: amperes(1) };
    expect(valueOf(phaseUnbalance(currents))).toBeCloseTo(4 / 28, 12);
  });

  it('refuses a negative phase and a floor that is not positive', () => {
    expect(() => phaseUnbalance(voltages(460, -1, 450))).toThrow(
      new RangeError('FIGURE_INPUT phaseUnbalance.values[1] [V or A]: got -1, expected >= 0'),
    );
    expect(() => phaseUnbalance({ ...voltages(460, 460, 460), meanFloor: volts(0) })).toThrow(
      new RangeError('FIGURE_INPUT phaseUnbalance.meanFloor [V or A]: got 0, expected > 0'),
    );
  });

  it('does not care which phase is which, nor for the unit', () => {
    const phase = fc.double({ min: 100, max: 500, noNaN: true });
    fc.assert(
      fc.property(fc.tuple(phase, phase, phase), ([a, b, c]) => {
        const unbalance = valueOf(phaseUnbalance(voltages(a, b, c)));
        expect(valueOf(phaseUnbalance(voltages(c, a, b)))).toBeCloseTo(unbalance, 12);
        expect(valueOf(phaseUnbalance(voltages(2 * a, 2 * b, 2 * c)))).toBeCloseTo(unbalance, 12);
      }),
    );
  });
});

describe('unbalanceDerating', () => {
  it.each([
    [0, 1],
    [0.01, 1],
    [0.02, 0.95],
    [0.03, 0.88],
    [0.04, 0.82],
    [0.05, 0.75],
    [0.015, 0.975],
  ])(
    'leaves, at an unbalance of %d, %d of the rated power (NEMA MG-1, fig. 14-1, from memory)',
    (unbalance, factor) => {
      expect(unbalanceDerating(ratio(unbalance))).toBeCloseTo(factor, 12);
    },
  );

  it('leaves nothing to run with above 5 %', () => {
    expect(unbalanceDerating(ratio(0.0501))).toBeNull();
  });

  it('refuses a negative unbalance', () => {
    expect(() => unbalanceDerating(ratio(-0.01))).toThrow(
      new RangeError('FIGURE_INPUT unbalanceDerating.unbalance [1]: got -0.01, expected >= 0'),
    );
  });

  it('never allows more at a larger unbalance', () => {
    const unbalance = fc.double({ min: 0, max: 0.05, noNaN: true });
    fc.assert(
      fc.property(unbalance, unbalance, (a, b) => {
        const [less, more] = [ratio(Math.min(a, b)), ratio(Math.max(a, b))];
        expect(unbalanceDerating(more)).toBeLessThanOrEqual((unbalanceDerating(less) ?? NaN) + 1e-12);
      }),
    );
  });
});
