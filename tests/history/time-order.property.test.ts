import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { timeOrder } from '#server/history/time-order.ts';

describe('timeOrder', () => {
  it('sorts by time and keeps equal times in the order they came, against the sort of the language', () => {
    const times = fc.oneof(
      fc.array(fc.integer({ min: 0, max: 30 }), { maxLength: 300 }),
      fc
        .array(fc.tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: 1, max: 90 })), { maxLength: 9 })
        .map((stretches) =>
          stretches.flatMap(([start, n]) => Array.from({ length: n }, (_, i) => start + i)),
        ),
    );
    fc.assert(
      fc.property(times, (timeMs) => {
        const expected = [...timeMs.keys()].sort((a, b) => (timeMs[a] ?? 0) - (timeMs[b] ?? 0) || a - b);
        expect([...timeOrder(Float64Array.from(timeMs))]).toEqual(expected);
      }),
      { numRuns: 300 },
    );
  });
});
