import { describe, expect, it } from 'vitest';
import { clockOffsetMs, withAnswer, type TimeAnswer } from '#server/field/clock-offset.ts';

describe('clockOffsetMs', () => {
  it('is 500 ms when the plant says 1505 between 1000 and 1010, by hand', () => {
    expect(clockOffsetMs([{ askedMs: 1000, answeredMs: 1010, plantMs: 1505 }])).toBe(500);
  });

  it('is not known without an answer', () => {
    expect(clockOffsetMs([])).toBeNull();
  });

  it('believes the quickest answer, whose error is the smallest', () => {
    const slow = { askedMs: 1000, answeredMs: 1400, plantMs: 1005 };
    const quick = { askedMs: 2000, answeredMs: 2002, plantMs: 2001 };
    expect(clockOffsetMs([slow, quick])).toBe(0);
    expect(clockOffsetMs([quick, slow])).toBe(0);
  });
});

describe('withAnswer', () => {
  it('forgets the older answers when a clock was set by an hour', () => {
    const before = { askedMs: 1000, answeredMs: 1002, plantMs: 1001 };
    const after = { askedMs: 2000, answeredMs: 2020, plantMs: 3_602_010 };
    expect(clockOffsetMs(withAnswer([before], after))).toBe(3_600_000);
  });

  it('keeps a quick answer beside a slow one that does not contradict it', () => {
    const quick = { askedMs: 1000, answeredMs: 1002, plantMs: 1001 };
    const slow = { askedMs: 2000, answeredMs: 2300, plantMs: 2290 };
    expect(clockOffsetMs(withAnswer([quick], slow))).toBe(0);
  });

  it('keeps 16 answers at most', () => {
    let answers: readonly TimeAnswer[] = [];
    for (let second = 0; second < 50; second++) {
      answers = withAnswer(answers, { askedMs: second, answeredMs: second, plantMs: second });
    }
    expect(answers).toHaveLength(16);
  });
});
