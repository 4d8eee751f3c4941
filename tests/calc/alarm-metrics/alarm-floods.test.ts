import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alarmFloods } from '#server/calc/alarm-metrics/alarm-floods.ts';
import { isChattering } from '#server/calc/alarm-metrics/is-chattering.ts';

const MINUTE_MS = 60_000;
const rules = { windowMs: 10 * MINUTE_MS, startAbove: 10, endBelow: 5 };
const HOUR_MS = 60 * MINUTE_MS;

function alarmsAt(...minutes: readonly number[]) {
  return minutes.map((minute) => ({ timeMs: minute * MINUTE_MS }));
}

const eleven = alarmsAt(0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10);

describe('alarmFloods', () => {
  it('starts at the 11th of 11 alarms a minute apart, and ends when fewer than 5 are left of ten minutes (A2)', () => {
    expect(alarmFloods(eleven, HOUR_MS, rules)).toEqual([
      { fromMs: 10 * MINUTE_MS, toMs: 16 * MINUTE_MS, annunciations: 1 },
    ]);
  });

  it('is still going on before it has ended', () => {
    expect(alarmFloods(eleven, 15 * MINUTE_MS, rules)[0]?.toMs).toBeNull();
    expect(alarmFloods(eleven, 16 * MINUTE_MS, rules)[0]?.toMs).toBe(16 * MINUTE_MS);
  });

  it('sees none in ten alarms in ten minutes', () => {
    expect(alarmFloods(eleven.slice(1), HOUR_MS, rules)).toEqual([]);
    expect(alarmFloods([], HOUR_MS, rules)).toEqual([]);
  });

  it('goes on while alarms come fast enough to keep five in the window', () => {
    const going = [...eleven, ...alarmsAt(12, 14, 16, 18, 20, 22, 24)];
    const [flood, ...others] = alarmFloods(going, HOUR_MS, rules);
    expect(flood).toEqual({ fromMs: 10 * MINUTE_MS, toMs: 26 * MINUTE_MS, annunciations: 8 });
    expect(others).toEqual([]);
  });

  it('finds a second flood after the first', () => {
    const second = eleven.map(({ timeMs }) => ({ timeMs: timeMs + HOUR_MS }));
    const floods = alarmFloods([...eleven, ...second], 3 * HOUR_MS, rules);
    expect(floods.map(({ fromMs }) => fromMs)).toEqual([10 * MINUTE_MS, HOUR_MS + 10 * MINUTE_MS]);
  });

  it('copes with a storm of five thousand alarms in ten seconds', () => {
    const storm = Array.from({ length: 5000 }, (_, index) => ({ timeMs: index * 2 }));
    const floods = alarmFloods(storm, HOUR_MS, rules);
    expect(floods).toEqual([{ fromMs: 20, toMs: 4995 * 2 + rules.windowMs, annunciations: 4990 }]);
  });

  it.each([
    [alarmsAt(2, 1), {}, 'annunciations[1].timeMs: got 60000, expected >= 120000'],
    [[], { windowMs: 0 }, 'windowMs [ms]: got 0, expected > 0'],
    [[], { endBelow: 0 }, 'endBelow [1]: got 0, expected 1 to 10'],
    [[], { endBelow: 11 }, 'endBelow [1]: got 11, expected 1 to 10'],
  ])('refuses %j with %o and names it', (annunciations, wrong, message) => {
    const compute = () => alarmFloods(annunciations, HOUR_MS, { ...rules, ...wrong });
    expect(compute).toThrow(new RangeError(`FIGURE_INPUT alarmFloods.${message}`));
  });

  it('gives floods in order, apart from each other, whatever the alarms', () => {
    const minutes = fc.array(fc.double({ min: 0, max: 120, noNaN: true }), { maxLength: 120 });
    fc.assert(
      fc.property(minutes, (each) => {
        const floods = alarmFloods(alarmsAt(...each.toSorted((a, b) => a - b)), 24 * HOUR_MS, rules);
        for (const [index, flood] of floods.entries()) {
          expect(flood.toMs).toBeGreaterThan(flood.fromMs);
          expect(flood.fromMs).toBeGreaterThanOrEqual(floods[index - 1]?.toMs ?? 0);
        }
      }),
    );
  });
});

describe('isChattering', () => {
  const rule = { count: 3, withinMs: MINUTE_MS };

  it('is true for three within a minute, at 0, 20 and 60 s', () => {
    expect(isChattering(alarmsAt(0, 1 / 3, 1), rule)).toBe(true);
  });

  it('is false for three in a little more than a minute, and for two', () => {
    expect(isChattering(alarmsAt(0, 0.5, 1.001), rule)).toBe(false);
    expect(isChattering(alarmsAt(0, 0.1), rule)).toBe(false);
  });

  it('finds a burst anywhere', () => {
    expect(isChattering(alarmsAt(0, 10, 20, 20.2, 20.4, 60), rule)).toBe(true);
  });

  it('refuses annunciations out of order, and rules that are not positive', () => {
    expect(() => isChattering(alarmsAt(1, 0), rule)).toThrow(
      new RangeError('FIGURE_INPUT isChattering.annunciations[1].timeMs: got 0, expected >= 60000'),
    );
    expect(() => isChattering([], { ...rule, count: 0 })).toThrow(
      new RangeError('FIGURE_INPUT isChattering.count [1]: got 0, expected > 0'),
    );
    expect(() => isChattering([], { ...rule, withinMs: 0 })).toThrow(
      new RangeError('FIGURE_INPUT isChattering.withinMs [ms]: got 0, expected > 0'),
    );
  });

  it('is true of any alarm that is true of a part of it', () => {
    const minutes = fc.array(fc.double({ min: 0, max: 30, noNaN: true }), { maxLength: 30 });
    fc.assert(
      fc.property(minutes, (each) => {
        const all = alarmsAt(...each.toSorted((a, b) => a - b));
        if (isChattering(all.slice(2), rule)) expect(isChattering(all, rule)).toBe(true);
      }),
    );
  });
});
