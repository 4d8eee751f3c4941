import { describe, expect, it } from 'vitest';
import {
  heldTimes,
  heldUntilMs,
  mergedSpans,
  SPANS_MAX,
  spansOf,
  wasRecorded,
} from '#server/field/recorded-time.ts';

describe('spansOf', () => {
  it('joins neighbours up to the distance given, and no further ones', () => {
    expect(spansOf([0, 1000, 2000, 3001], 1000)).toEqual([
      { fromMs: 0, toMs: 2000 },
      { fromMs: 3001, toMs: 3001 },
    ]);
  });
});

describe('mergedSpans', () => {
  it('joins what one tag shows with what another shows, in any order', () => {
    const one = spansOf([0, 1000, 5000], 1000);
    const other = spansOf([1500, 2500, 3500, 4500], 1000);
    expect(mergedSpans(one, other, 1000)).toEqual([{ fromMs: 0, toMs: 5000 }]);
    expect(mergedSpans(other, one, 1000)).toEqual([{ fromMs: 0, toMs: 5000 }]);
  });

  it('forgets the oldest beyond its bound', () => {
    const many = Array.from({ length: SPANS_MAX + 5 }, (_, at) => ({
      fromMs: at * 10_000,
      toMs: at * 10_000,
    }));
    const merged = mergedSpans(many, [], 1000);
    expect(merged).toHaveLength(SPANS_MAX);
    expect(merged[0]?.fromMs).toBe(50_000);
  });
});

describe('heldUntilMs', () => {
  const recorded = [
    { fromMs: 0, toMs: 20_000 },
    { fromMs: 24_000, toMs: 40_000 },
    { fromMs: 60_000, toMs: 90_000 },
  ];

  it('is the end while the historian was at work throughout', () => {
    expect(heldUntilMs(recorded, { fromMs: 1000, toMs: 19_000 }, 5000)).toBe(19_000);
  });

  it('goes over a silence no longer than the allowed age, and not over a longer one', () => {
    expect(heldUntilMs(recorded, { fromMs: 1000, toMs: 39_000 }, 5000)).toBe(39_000);
    expect(heldUntilMs(recorded, { fromMs: 1000, toMs: 39_000 }, 3999)).toBe(20_000);
    expect(heldUntilMs(recorded, { fromMs: 1000, toMs: 80_000 }, 5000)).toBe(40_000);
  });

  it('is the beginning when nothing was recorded at all', () => {
    expect(heldUntilMs([], { fromMs: 1000, toMs: 9000 }, 5000)).toBe(1000);
  });
});

describe('heldTimes', () => {
  it('is a time at every 0.8 of the allowed age, inside both ends', () => {
    expect(heldTimes({ fromMs: 10_000, toMs: 22_000 }, 5000)).toEqual([14_000, 18_000]);
  });

  it('is none when the ends are near', () => {
    expect(heldTimes({ fromMs: 10_000, toMs: 14_000 }, 5000)).toEqual([]);
  });
});

describe('wasRecorded', () => {
  it('is true only for a value inside', () => {
    const recorded = [{ fromMs: 1000, toMs: 1000 }];
    expect(wasRecorded(recorded, { fromMs: 900, toMs: 1100 })).toBe(true);
    expect(wasRecorded(recorded, { fromMs: 1000, toMs: 1100 })).toBe(false);
    expect(wasRecorded(recorded, { fromMs: 1100, toMs: 1200 })).toBe(false);
  });
});
