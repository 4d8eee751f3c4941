import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alarmRates } from '#server/calc/alarm-metrics/alarm-rates.ts';
import { busyShare } from '#server/calc/alarm-metrics/busy-share.ts';
import { topShare } from '#server/calc/alarm-metrics/top-share.ts';
import { milliseconds } from '#server/calc/units.ts';

const MINUTE_MS = 60_000;
const DAY_MS = 24 * 60 * MINUTE_MS;
const hour = { fromMs: 0, toMs: 60 * MINUTE_MS };
const tenMinutes = { periodMs: 10 * MINUTE_MS, above: 10 };

function alarmsAt(...minutes: readonly number[]) {
  return minutes.map((minute) => ({ timeMs: minute * MINUTE_MS }));
}

describe('alarmRates', () => {
  it('are 144 a day, 6 an hour and 1 in ten minutes for 720 in 5 days (A1, IEC 62682)', () => {
    const { perDay, perHour, perTenMinutes } = alarmRates(720, milliseconds(5 * DAY_MS));
    expect(perDay).toBeCloseTo(144, 10);
    expect(perHour).toBeCloseTo(6, 10);
    expect(perTenMinutes).toBeCloseTo(1, 10);
  });

  it('refuse a negative count and a period that is not positive', () => {
    expect(() => alarmRates(-1, milliseconds(1))).toThrow(
      new RangeError('FIGURE_INPUT alarmRates.annunciations [1]: got -1, expected >= 0'),
    );
    expect(() => alarmRates(1, milliseconds(0))).toThrow(
      new RangeError('FIGURE_INPUT alarmRates.period [ms]: got 0, expected > 0'),
    );
  });

  it('do not change when count and period double', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10_000 }),
        fc.integer({ min: 1, max: DAY_MS }),
        (count, period) => {
          const rates = alarmRates(count, milliseconds(period));
          expect(alarmRates(2 * count, milliseconds(2 * period)).perHour).toBeCloseTo(rates.perHour, 6);
        },
      ),
    );
  });
});

describe('topShare', () => {
  it('is 30 % when the ten largest make 300 of 1000 (A5, by hand)', () => {
    const largest = [50, 40, 35, 35, 30, 30, 25, 20, 20, 15];
    const others = new Array<number>(70).fill(10);
    expect(topShare([...others, ...largest], 10)).toBeCloseTo(0.3, 12);
  });

  it('is 1 with fewer alarms than are asked for', () => {
    expect(topShare([3, 4], 10)).toBe(1);
  });

  it('is null without an annunciation', () => {
    expect(topShare([0, 0], 10)).toBeNull();
    expect(topShare([], 10)).toBeNull();
  });

  it('refuses a negative count and no alarms to ask for', () => {
    expect(() => topShare([1, -1], 10)).toThrow(
      new RangeError('FIGURE_INPUT topShare.counts[1] [1]: got -1, expected >= 0'),
    );
    expect(() => topShare([1], 0)).toThrow(
      new RangeError('FIGURE_INPUT topShare.most [1]: got 0, expected > 0'),
    );
  });

  it('does not depend on the order of the alarms', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(100), { minLength: 1 }), (counts) => {
        expect(topShare(counts.toReversed(), 3)).toEqual(topShare(counts, 3));
      }),
    );
  });
});

describe('busyShare', () => {
  it('is one in six when twelve alarms fall into the first ten minutes of an hour, by hand', () => {
    const burst = alarmsAt(...new Array<number>(12).fill(3));
    expect(busyShare(burst, hour, tenMinutes)).toBeCloseTo(1 / 6, 12);
  });

  it('lets a period with exactly as many as allowed pass', () => {
    expect(busyShare(alarmsAt(...new Array<number>(10).fill(3)), hour, tenMinutes)).toBe(0);
    expect(busyShare(alarmsAt(...new Array<number>(11).fill(3)), hour, tenMinutes)).toBeGreaterThan(0);
  });

  it('counts an alarm at the end of a period to the next, and none outside the window', () => {
    const rule = { periodMs: 10 * MINUTE_MS, above: 0 };
    expect(busyShare(alarmsAt(10), hour, rule)).toBeCloseTo(1 / 6, 12);
    expect(busyShare(alarmsAt(9.99, 10), hour, rule)).toBeCloseTo(2 / 6, 12);
    expect(busyShare(alarmsAt(-0.01, 60), hour, rule)).toBe(0);
  });

  it('refuses a period that is not positive or does not fit', () => {
    expect(() => busyShare([], hour, { periodMs: 0, above: 1 })).toThrow(
      new RangeError('FIGURE_INPUT busyShare.periodMs [ms]: got 0, expected > 0'),
    );
    expect(() => busyShare([], { fromMs: 0, toMs: 1 }, tenMinutes)).toThrow(
      new RangeError('FIGURE_INPUT busyShare.window whole periods [1]: got 0, expected >= 1'),
    );
  });
});
