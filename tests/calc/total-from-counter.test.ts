import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { totalFromCounter } from '#server/calc/total-from-counter.ts';
import { kilograms, kilogramsPerHour } from '#server/calc/units.ts';

const HOUR_MS = 3_600_000;
const counter = { rollsOverAt: kilograms(1000), maxRate: kilogramsPerHour(100), step: kilograms(1) };

/** Readings an hour apart. */
function hourly(...values: readonly (number | null)[]) {
  return values.map((value, hour) => ({
    timeMs: hour * HOUR_MS,
    value: value === null ? null : kilograms(value),
  }));
}

describe('totalFromCounter', () => {
  it('gives 30 kg and one rollover for 980, 995, 10 kg of a counter that turns at 1000, by hand', () => {
    expect(totalFromCounter(hourly(980, 995, 10), counter)).toEqual({
      total: 30,
      coveredMs: 2 * HOUR_MS,
      rollovers: 1,
      resets: 0,
    });
  });

  it('takes a fall that is too large for a turn as a reset, and counts from zero', () => {
    expect(totalFromCounter(hourly(500, 560, 20, 70), counter)).toEqual({
      total: 60 + 20 + 50,
      coveredMs: 2 * HOUR_MS,
      rollovers: 0,
      resets: 1,
    });
  });

  it('takes an increase as large as maxRate and one step allow, and no larger one', () => {
    expect(totalFromCounter(hourly(0, 101), counter)).toMatchObject({ total: 101, resets: 0 });
    expect(totalFromCounter(hourly(0, 102), counter)).toMatchObject({ total: 0, coveredMs: 0, resets: 1 });
  });

  it('counts, after a reset, a reading as large as maxRate and one step allow', () => {
    expect(totalFromCounter(hourly(500, 101), counter)).toMatchObject({ total: 101, resets: 1 });
  });

  it('counts nothing after a reset to a reading that no honest flow reaches', () => {
    expect(totalFromCounter(hourly(900, 400), counter)).toMatchObject({ total: 0, coveredMs: 0, resets: 1 });
  });

  it('goes on counting through readings without a value', () => {
    expect(totalFromCounter(hourly(10, null, null, 40), counter)).toMatchObject({
      total: 30,
      coveredMs: 3 * HOUR_MS,
    });
  });

  it('does not guess when a whole turn may have passed unseen', () => {
    const readings = [...hourly(10), { timeMs: 10 * HOUR_MS, value: kilograms(500) }];
    expect(totalFromCounter(readings, counter)).toMatchObject({ total: 0, coveredMs: 0, resets: 1 });
  });

  it('covers nothing with fewer than two readings', () => {
    const nothing = { total: 0, coveredMs: 0, rollovers: 0, resets: 0 };
    expect(totalFromCounter([], counter)).toEqual(nothing);
    expect(totalFromCounter(hourly(7), counter)).toEqual(nothing);
  });

  it.each([
    [{ rollsOverAt: kilograms(0) }, 'totalFromCounter.rollsOverAt [kg]: got 0, expected > 0'],
    [{ maxRate: kilogramsPerHour(0) }, 'totalFromCounter.maxRate [kg/h]: got 0, expected > 0'],
    [{ step: kilograms(0) }, 'totalFromCounter.step [kg]: got 0, expected > 0'],
  ])('refuses %o and names it', (wrong, message) => {
    expect(() => totalFromCounter([], { ...counter, ...wrong })).toThrow(
      new RangeError(`FIGURE_INPUT ${message}`),
    );
  });

  it.each([-1, 1001])('refuses a reading of %d kg, which this counter cannot show', (value) => {
    expect(() => totalFromCounter(hourly(5, value), counter)).toThrow(
      new RangeError(
        `FIGURE_INPUT totalFromCounter.readings[1] [kg]: got ${String(value)}, expected 0 to 1000`,
      ),
    );
  });

  it('refuses readings out of time order', () => {
    expect(() => totalFromCounter(hourly(1, 2).toReversed(), counter)).toThrow(
      new RangeError('FIGURE_INPUT totalFromCounter.readings[1].timeMs: got 0, expected >= 3600000'),
    );
  });

  it('finds the true total through any number of rollovers', () => {
    const increases = fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(increases, fc.integer({ min: 0, max: 999 }), (gained, start) => {
        let truth = start;
        const shown = [start, ...gained.map((kg) => (truth += kg) % 1000)];
        const result = totalFromCounter(hourly(...shown), counter);
        expect(result.total).toBe(truth - start);
        expect(result).toMatchObject({ coveredMs: gained.length * HOUR_MS, resets: 0 });
      }),
    );
  });

  it('never counts more than passed when the counter is reset at any time', () => {
    const hours = fc.array(fc.record({ kg: fc.integer({ min: 0, max: 100 }), reset: fc.boolean() }), {
      maxLength: 60,
    });
    fc.assert(
      fc.property(hours, (run) => {
        let passed = 0;
        let shown = 0;
        const readings = [0];
        for (const { kg, reset } of run) {
          passed += kg;
          // The reset comes just before the hour's seed, so that all of it shows.
          shown = reset ? kg : (shown + kg) % 1000;
          readings.push(shown);
        }
        // Right after a high reading a reset cannot be told from a turn: those runs are left out.
        fc.pre(
          readings.every(
            (value, i) =>
              value >= (readings[i - 1] ?? 0) || (readings[i - 1] ?? 0) < 880 || !run[i - 1]?.reset,
          ),
        );
        expect(totalFromCounter(hourly(...readings), counter).total).toBeLessThanOrEqual(passed);
      }),
    );
  });
});
