import { describe, expect, it } from 'vitest';
import { dueTime } from '#server/machines/due-time.ts';
import { randomStream } from '#simulator/physics/random.ts';
import { DAY_MS } from './machine-points.ts';

/** Blocks since the onset was noticed, a day after it began, seven a day. */
function blocks(days: number, shape: (day: number) => number, seed = 5) {
  const random = randomStream(seed, 'due');
  return Array.from({ length: Math.round((days - 1) * 7) }, (_, i) => {
    const day = 1 + i / 7;
    return { timeMs: day * DAY_MS, value: shape(day) + 0.005 * random.normal() };
  });
}

const asked = { sinceMs: DAY_MS, deviation: 0.005, widening: 1 };

describe('dueTime', () => {
  it('puts a straight rise of 1 % a day at its limit of 20 % on about the twentieth day, in the middle of 21 tries', () => {
    const days = Array.from({ length: 21 }, (_, seed) => {
      const due = dueTime({ ...asked, blocks: blocks(10, (day) => 0.01 * day, seed), limit: 0.2 });
      return (due?.middleMs ?? Infinity) / DAY_MS;
    });
    const middle = days.sort((a, b) => a - b)[10] ?? 0;
    expect(Math.abs(middle - 20)).toBeLessThan(2.5);
  });

  it('sees a rise that grows ever faster come sooner than a straight line through it would', () => {
    const due = dueTime({ ...asked, blocks: blocks(10, (day) => 0.001 * day * day), limit: 0.4 });
    // Truly on day 20; the last days' slope of 0.02 a day would say day 25.
    expect(Math.abs((due?.middleMs ?? 0) / DAY_MS - 20)).toBeLessThan(2.5);
  });

  it('looks down for a limit below', () => {
    const due = dueTime({ ...asked, blocks: blocks(10, (day) => -0.01 * day), limit: -0.2 });
    expect(Math.abs((due?.middleMs ?? 0) / DAY_MS - 20)).toBeLessThan(3);
  });

  it('is null for a limit that what is seen leads away from', () => {
    expect(dueTime({ ...asked, blocks: blocks(10, (day) => -0.01 * day), limit: 0.2 })).toBeNull();
  });

  it('narrows as the limit comes near', () => {
    const width = (days: number) => {
      const due = dueTime({ ...asked, blocks: blocks(days, (day) => 0.01 * day), limit: 0.2 });
      return (due?.latestMs ?? Infinity) - (due?.earliestMs ?? 0);
    };
    expect(width(17)).toBeLessThan(width(12));
    expect(width(12)).toBeLessThan(width(7));
  });

  it('holds the truth in its range of 90 % in at least 80 of 100 straight declines', () => {
    const held = Array.from({ length: 100 }, (_, seed) => {
      const due = dueTime({ ...asked, blocks: blocks(12, (day) => 0.01 * day, seed), limit: 0.2 });
      return due !== null && due.earliestMs <= 20 * DAY_MS && (due.latestMs ?? Infinity) >= 20 * DAY_MS;
    });
    expect(held.filter(Boolean).length).toBeGreaterThanOrEqual(80);
  });
});
