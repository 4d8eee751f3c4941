import { describe, expect, it } from 'vitest';
import { columnsFromHistory, joinedColumns, liveBuckets } from '#client/live/trend-columns.ts';
import { valueAt } from '#client/charts/value-at.ts';
import type { ThinnedSeries } from '#server/contract/history-answer.ts';

const answer: ThinnedSeries = {
  series: 'a.x',
  unit: 'kg/h',
  interpolation: 'linear',
  timeMs: [0, 10, 20, 30, 40],
  first: [1, null, null, null, 5],
  last: [2, null, null, null, 6],
  min: [1, null, null, null, 4],
  max: [3, null, null, null, 7],
  mean: [1.5, null, null, null, 5.5],
  count: [4, 0, 0, 0, 3],
  coveredRatio: [1, 1, 0, 0.9, 1],
  uncertainRatio: [0, 0, 0, 0, 0],
};

describe('columnsFromHistory', () => {
  it('draws a bucket that nothing covered as a gap', () => {
    expect(columnsFromHistory(answer).mid[2]).toBeNull();
    expect(columnsFromHistory(answer).max[2]).toBeNull();
  });

  it('holds the last value through a bucket that was covered without a reading', () => {
    expect(columnsFromHistory(answer).mid[1]).toBe(2);
    expect(columnsFromHistory(answer).min[1]).toBe(2);
  });

  it('does not carry a value over a gap', () => {
    expect(columnsFromHistory(answer).mid[3]).toBeNull();
  });

  it('draws the last value of a contact, the mean of an analogue', () => {
    expect(columnsFromHistory(answer).mid[0]).toBe(1.5);
    expect(columnsFromHistory({ ...answer, interpolation: 'step' }).mid[0]).toBe(2);
  });
});

describe('liveBuckets', () => {
  it('keeps the spike of a bucket in its envelope', () => {
    const buckets = liveBuckets(10);
    for (const [time, value] of [
      [1, 5],
      [2, 90],
      [3, 4],
    ] as const)
      buckets.take(time, value);
    expect(buckets.columns()).toEqual({ timeMs: [0], min: [4], max: [90], mid: [4] });
  });

  it('holds a value that stands still, and its absence too', () => {
    const buckets = liveBuckets(10);
    buckets.take(5, 7);
    buckets.holdUntil(25, 7);
    buckets.holdUntil(45, null);
    expect(buckets.columns().mid).toEqual([7, 7, 7, null, null]);
  });

  it('starts with what is held where nothing has come yet', () => {
    const buckets = liveBuckets(10);
    buckets.holdUntil(25, 3);
    expect(buckets.columns().timeMs).toEqual([20]);
  });

  it('leaves a late value to the history', () => {
    const buckets = liveBuckets(10);
    buckets.take(25, 1);
    buckets.take(5, 99);
    expect(buckets.columns().max).toEqual([1]);
  });

  it('forgets what has left the window, so that a wall screen does not grow for days', () => {
    const buckets = liveBuckets(10);
    for (let time = 0; time < 10_000; time += 10) {
      buckets.take(time, 1);
      buckets.dropBefore(time - 100);
    }
    expect(buckets.columns().timeMs.length).toBeLessThanOrEqual(11);
  });
});

describe('joinedColumns', () => {
  it('continues the past with what came after it, without an instant twice', () => {
    const past = { timeMs: [0, 10, 20], min: [1, 1, 1], max: [1, 1, 1], mid: [1, 1, 1] };
    const live = { timeMs: [10, 20, 30], min: [2, 2, 2], max: [2, 2, 2], mid: [2, 2, 2] };
    expect(joinedColumns(past, live, 5)).toEqual({
      timeMs: [10, 20, 30],
      min: [1, 1, 2],
      max: [1, 1, 2],
      mid: [1, 1, 2],
    });
  });
});

describe('valueAt', () => {
  const columns = { timeMs: [0, 10, 20], min: [], max: [], mid: [1, null, 3] };

  it('answers with the bucket that holds the instant', () => {
    expect(valueAt(columns, 9)).toBe(1);
    expect(valueAt(columns, 20)).toBe(3);
  });

  it('has no value in a gap or before the first bucket', () => {
    expect(valueAt(columns, 15)).toBeNull();
    expect(valueAt(columns, -1)).toBeNull();
  });
});
