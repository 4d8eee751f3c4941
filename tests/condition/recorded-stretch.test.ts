import { describe, expect, it } from 'vitest';
import {
  GLIMPSE_MS,
  glimpsesOf,
  type RecordedStretch,
  type RecordedTag,
} from '#server/condition/recorded-stretch.ts';
import type { WatchedMachine } from '#server/machines/watched-machine.ts';

const column = (mean: readonly number[], covered: readonly number[] = mean.map(() => 1)): RecordedTag => ({
  timeMs: Float64Array.from(mean, (_, i) => i * GLIMPSE_MS),
  mean: Float64Array.from(mean),
  coveredRatio: Float64Array.from(covered),
});

const FAN: WatchedMachine = {
  plan: { machine: 'fan', kind: 'fan', signals: [] },
  line: 'a',
  runningTag: 'a.fan.running',
  tags: new Map([['motor-current', 'a.fan.current']]),
  influences: new Map([['load', 'a.intake.mass-flow']]),
};

const stretch = (changes: Readonly<Record<string, RecordedTag>> = {}): RecordedStretch => ({
  fromMs: 0,
  toMs: 4 * GLIMPSE_MS,
  tags: new Map(
    Object.entries({
      'a.fan.running': column([1, 0.4, 0, 1]),
      'a.fan.current': column([10, 11, 12, 13]),
      'a.intake.mass-flow': column([100, 100, 100, 100]),
      ...changes,
    }),
  ),
  settings: new Map([
    [
      'a',
      [
        { fromMs: -Infinity, group: 'soybean' },
        { fromMs: 3 * GLIMPSE_MS, group: 'wheat' },
      ],
    ],
  ]),
});

describe('glimpsesOf', () => {
  it('looks every two minutes, and reads a machine only where it ran all of them', () => {
    const seen = glimpsesOf(stretch(), FAN);
    expect(seen.map(({ isRunning }) => isRunning)).toEqual([true, false, false, true]);
    expect(seen.map(({ values }) => values.get('motor-current'))).toEqual([10, undefined, undefined, 13]);
  });

  it('knows what the line was set for at each look', () => {
    expect(glimpsesOf(stretch(), FAN).map(({ group }) => group)).toEqual([
      'soybean',
      'soybean',
      'soybean',
      'wheat',
    ]);
  });

  it('does not know whether a machine ran whose contact was hardly seen', () => {
    const seen = glimpsesOf(stretch({ 'a.fan.running': column([1, 1, 1, 1], [1, 0.4, 0.5, 0]) }), FAN);
    expect(seen.map(({ isRunning }) => isRunning)).toEqual([true, null, true, null]);
  });

  it('leaves out a value that was not known', () => {
    const seen = glimpsesOf(stretch({ 'a.fan.current': column([NaN, 11, 12, 13]) }), FAN);
    expect(seen[0]?.values.has('motor-current')).toBe(false);
    expect(seen[0]?.influences.get('load')).toBe(100);
  });
});
