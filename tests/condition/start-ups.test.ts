import { describe, expect, it } from 'vitest';
import { startUpOf } from '#server/condition/start-ups.ts';

describe('startUpOf', () => {
  it('tells peak and run-up of a start: 60 A at first, within a tenth of 10 A after six seconds, by hand', () => {
    const start = startUpOf(0, [1000, 3000, 6000, 12_000, 22_000, 26_000], [60, 30, 10.9, 10, 10, 10]);
    expect(start).toMatchObject({ peakA: 60, runUpMs: 6000 });
  });

  it('tells no run-up of a start that was not watched to its end', () => {
    expect(startUpOf(0, [1000, 3000], [60, 30])).toMatchObject({ peakA: 60, runUpMs: null });
    expect(startUpOf(0, [], [])).toMatchObject({ peakA: null, runUpMs: null });
  });

  it('tells none where the current never came down', () => {
    expect(startUpOf(0, [1000, 21_000, 25_000, 29_000], [60, 10, 10, 40]).runUpMs).toBeNull();
  });
});
