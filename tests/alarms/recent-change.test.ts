import { describe, expect, it } from 'vitest';
import { recentChange, withRecent, type RecentValues } from '#server/alarms/recent-change.ts';
import { alarmRig, journalText } from './alarm-rig.ts';
import { HOT, TEMPERATURE } from './rules.ts';

const MINUTE = 60_000;
const remembered = (withinMs: number, ...points: readonly (readonly [number, number])[]): RecentValues =>
  points.reduce<RecentValues>(
    (recent, [timeMs, value]) => withRecent(recent, { timeMs, value }, withinMs),
    [],
  );

describe('recentChange', () => {
  it('is a rise of 6 from 20 at 0 min to 26 at 8 min, by hand', () => {
    expect(recentChange(remembered(10 * MINUTE, [0, 20], [4 * MINUTE, 23], [8 * MINUTE, 26]))).toBe(6);
  });

  it('is not known from one value', () => {
    expect(recentChange(remembered(10 * MINUTE, [0, 20]))).toBeNull();
  });

  it('starts from the value that held when the window began', () => {
    const recent = remembered(10 * MINUTE, [0, 20], [2 * MINUTE, 30], [11 * MINUTE, 31], [13 * MINUTE, 32]);
    expect(recentChange(recent)).toBe(2);
  });

  it('remembers a window in a bounded number of values, however fast they come, and is right to a fiftieth', () => {
    const points = Array.from({ length: 6000 }, (_, at) => [at * 100, at * 0.01] as const);
    const recent = remembered(MINUTE, ...points);
    expect(recent.length).toBeLessThanOrEqual(102);
    expect(Math.abs((recentChange(recent) ?? 0) - 6)).toBeLessThan(6 / 50 + 0.02);
  });
});

describe('rules on change', () => {
  const rule = {
    id: HOT,
    line: 'a',
    machine: 'dryer',
    card: 'high',
    kind: 'change' as const,
    subject: TEMPERATURE,
    unit: 'degC' as const,
    amount: 5,
    withinMs: 10 * MINUTE,
    deadband: 2,
  };

  it('alarm when a value rises by more than the amount within the time, and not when it takes longer', () => {
    const slow = alarmRig([rule], { tickMs: 10_000 });
    const fast = alarmRig([rule], { tickMs: 10_000 });
    for (let minute = 0; minute <= 30; minute += 1) {
      slow.read(TEMPERATURE, minute * MINUTE + 1, 20 + minute * 0.45);
      fast.read(TEMPERATURE, minute * MINUTE + 1, 20 + minute * 0.55);
    }
    for (const rig of [slow, fast]) rig.run(31 * MINUTE);
    expect(slow.journal).toEqual([]);
    expect(fast.alarm(HOT)).toMatchObject({
      code: 'rising-fast',
      state: 'unacknowledged',
      params: { limit: { value: 5, unit: 'degC' }, within: { value: 600, unit: 's' } },
    });
  });

  it('clear when the change has come back by the deadband, and tell falling from rising', () => {
    const rig = alarmRig([rule], { tickMs: 10_000 });
    [20, 14, 14, 14, 14, 14].forEach((value, at) => rig.read(TEMPERATURE, at * 4 * MINUTE + 1, value));
    rig.run(21 * MINUTE);
    expect(journalText(rig, HOT)).toEqual([
      '240001 normal > unacknowledged (falling-fast)',
      `${16 * MINUTE + 1} unacknowledged > returned-unacknowledged (falling-fast)`,
    ]);
  });
});

describe('rules on quality', () => {
  const id = 'a.dryer.probe';
  const rule = {
    id,
    line: 'a',
    machine: 'dryer',
    card: 'low',
    kind: 'quality' as const,
    subject: TEMPERATURE,
    onDelayMs: 10_000,
  };

  it.each(['bad', 'stale'] as const)(
    'alarm for %s readings after their delay, and clear with a good one',
    (quality) => {
      const rig = alarmRig([rule]);
      rig.read(TEMPERATURE, 1000, 50);
      rig.queue({ tag: TEMPERATURE, sourceTimeMs: 2000, value: 50, quality });
      rig.run(13_000);
      expect(rig.alarm(id)).toMatchObject({ code: 'bad-quality', params: { because: `tag-${quality}` } });
      expect(rig.alarm(id)).not.toHaveProperty('heldBecause');
      rig.read(TEMPERATURE, 14_000, 51);
      rig.run(15_000);
      expect(rig.alarm(id)?.state).toBe('returned-unacknowledged');
    },
  );

  it('find nothing wrong with a figure that is unknown because the line stands', () => {
    const rig = alarmRig([rule]);
    rig.figure(TEMPERATURE, null, { because: 'line-stopped' });
    rig.run(60_000);
    expect(rig.journal).toEqual([]);
    rig.figure(TEMPERATURE, null, { because: 'inputs-inconsistent' });
    rig.run(120_000);
    expect(rig.alarm(id)?.state).toBe('unacknowledged');
  });
});
