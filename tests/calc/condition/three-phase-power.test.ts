import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { motorLoad } from '#server/calc/condition/motor-load.ts';
import { threePhasePower } from '#server/calc/condition/three-phase-power.ts';
import { amperes, kilowatts, ratio, volts } from '#server/calc/units.ts';

const running = { voltage: volts(460), current: amperes(50), powerFactor: ratio(0.85) };
const plate = { ratedPower: kilowatts(30), efficiency: ratio(0.9) };

describe('threePhasePower', () => {
  it('is 33.8616 kW for 460 V, 50 A and 0.85 (C10, by hand)', () => {
    expect(threePhasePower(running)).toBeCloseTo(33.8616, 4);
  });

  it.each([
    [{ voltage: volts(-1) }, 'threePhasePower.voltage [V]: got -1, expected >= 0'],
    [{ current: amperes(-1) }, 'threePhasePower.current [A]: got -1, expected >= 0'],
    [{ powerFactor: ratio(1.1) }, 'threePhasePower.powerFactor [1]: got 1.1, expected 0 to 1'],
  ])('refuses %o and names it', (wrong, message) => {
    const compute = () => threePhasePower({ ...running, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('is that of three single phases between line and neutral', () => {
    const positive = fc.double({ min: 1, max: 1000, noNaN: true });
    fc.assert(
      fc.property(positive, positive, (voltage, current) => {
        const load = { voltage: volts(voltage), current: amperes(current), powerFactor: ratio(1) };
        expect(threePhasePower(load)).toBeCloseTo((3 * (voltage / Math.sqrt(3)) * current) / 1000, 8);
      }),
    );
  });
});

describe('motorLoad', () => {
  it('is 0.99 for 33 kW taken at 0.9 by a motor of 30 kW, by hand', () => {
    expect(motorLoad(kilowatts(33), plate)).toBeCloseTo(0.99, 12);
  });

  it.each([
    [-1, plate, 'motorLoad.taken [kW]: got -1, expected >= 0'],
    [1, { ...plate, ratedPower: kilowatts(0) }, 'motorLoad.ratedPower [kW]: got 0, expected > 0'],
    [1, { ...plate, efficiency: ratio(1.1) }, 'motorLoad.efficiency [1]: got 1.1, expected 0 to 1'],
  ])('refuses %d kW with %o and names it', (taken, wrong, message) => {
    expect(() => motorLoad(kilowatts(taken), wrong)).toThrow(new RangeError(`FIGURE_INPUT ${message}`));
  });

  it('grows in proportion to the power taken', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), (taken) => {
        expect(motorLoad(kilowatts(2 * taken), plate)).toBeCloseTo(
          2 * motorLoad(kilowatts(taken), plate),
          10,
        );
      }),
    );
  });
});
