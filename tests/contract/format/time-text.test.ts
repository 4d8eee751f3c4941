import { describe, expect, it } from 'vitest';
import { ageText } from '#server/contract/format/age-text.ts';
import { axisTimeText } from '#server/contract/format/axis-time-text.ts';
import { clockText, dayText, recentText } from '#server/contract/format/time-text.ts';

const CHICAGO = { timeZone: 'America/Chicago', locale: 'en-GB' };
const AFTERNOON_MS = Date.UTC(2026, 8, 14, 19, 6, 31);

describe('clockText', () => {
  it('shows the plant’s time, not the reader’s', () => {
    expect(clockText(AFTERNOON_MS, CHICAGO)).toBe('14:06:31');
  });

  it('shows midnight as 00, not as 24', () => {
    expect(clockText(Date.UTC(2026, 8, 14, 5, 0, 0), CHICAGO)).toBe('00:00:00');
  });

  it('has the hour that a change to standard time repeats twice', () => {
    const first = Date.UTC(2026, 10, 1, 6, 30, 0);
    expect(clockText(first, CHICAGO)).toBe('01:30:00');
    expect(clockText(first + 3_600_000, CHICAGO)).toBe('01:30:00');
  });
});

describe('recentText', () => {
  it('leaves out the day of today and says any other', () => {
    expect(recentText(AFTERNOON_MS - 3_600_000, AFTERNOON_MS, CHICAGO)).toBe('13:06:31');
    expect(recentText(AFTERNOON_MS - 86_400_000, AFTERNOON_MS, CHICAGO)).toBe('13 Sept, 14:06:31');
  });
});

describe('ageText', () => {
  it.each([
    [400, '0.4\u00a0s'],
    [9990, '9.9\u00a0s'],
    [26_400, '26\u00a0s'],
    [26 * 60_000, '26\u00a0min'],
    [3 * 3_600_000, '3\u00a0h'],
    [3 * 3_600_000 + 5 * 60_000, '3\u00a0h\u00a05\u00a0min'],
    [71 * 86_400_000, '71\u00a0d'],
    [-50, '0.0\u00a0s'],
  ])('writes %d ms as %s', (ageMs, expected) => {
    expect(ageText(ageMs, '.')).toBe(expected);
  });
});

describe('axisTimeText', () => {
  it('is as fine as the steps between ticks', () => {
    expect(axisTimeText(AFTERNOON_MS, 1000, CHICAGO)).toBe('14:06:31');
    expect(axisTimeText(AFTERNOON_MS, 300_000, CHICAGO)).toBe('14:06');
    expect(axisTimeText(AFTERNOON_MS, 86_400_000, CHICAGO)).toBe(dayText(AFTERNOON_MS, CHICAGO));
  });

  it('shows the day at midnight', () => {
    const midnight = Date.UTC(2026, 8, 14, 5, 0, 0);
    expect(axisTimeText(midnight, 3_600_000, CHICAGO)).toBe('Mon 14 Sept');
  });
});
