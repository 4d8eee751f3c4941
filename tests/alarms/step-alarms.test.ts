import { describe, expect, it } from 'vitest';
import { alarmRig, journalText } from './alarm-rig.ts';
import { HOT, hotRule, TEMPERATURE } from './rules.ts';

const S = 1000;

describe('stepAlarms on limits', () => {
  it('follows the deadband sequence A3 (OPC UA Part 9, B.1.5): 15 s of the second excursion, 76 keeps, 74 clears', () => {
    const rig = alarmRig([hotRule({ onDelayMs: 15 * S })]);
    rig.read(TEMPERATURE, 1 * S, 79);
    rig.read(TEMPERATURE, 2 * S, 81);
    rig.read(TEMPERATURE, 12 * S, 79);
    rig.read(TEMPERATURE, 20 * S, 81);
    rig.read(TEMPERATURE, 40 * S, 76);
    rig.read(TEMPERATURE, 50 * S, 74);
    rig.run(34.75 * S);
    expect(rig.standing()).toEqual([]);
    rig.run(35 * S);
    expect(rig.alarm(HOT)).toMatchObject({
      state: 'unacknowledged',
      code: 'high',
      raisedMs: 20 * S,
      clearedMs: null,
    });
    rig.run(45 * S);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
    rig.run(51 * S);
    expect(journalText(rig, HOT)).toEqual([
      '35000 normal > unacknowledged (high)',
      '50000 unacknowledged > returned-unacknowledged (high)',
    ]);
  });

  it.each([
    ['exactly at the limit', 80, false],
    ['just above it', 80.001, true],
    ['just below it', 79.999, false],
  ])('takes a value %s as beyond: %s %s', (_where, value, isAlarm) => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, 100, value);
    rig.run(500);
    expect(rig.standing()).toHaveLength(isAlarm ? 1 : 0);
  });

  it.each([
    ['at limit less deadband', 75, 'unacknowledged'],
    ['just under limit less deadband', 74.999, 'returned-unacknowledged'],
  ])('leaves a value %s (%d) %s', (_where, value, state) => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, 100, 81);
    rig.read(TEMPERATURE, 300, value);
    rig.run(500);
    expect(rig.alarm(HOT)?.state).toBe(state);
  });

  it('lets a count that returns to its limit of 0 clear when there is no deadband', () => {
    const rig = alarmRig([hotRule({ limits: [{ side: 'high', limit: 0, deadband: 0 }] })]);
    rig.read(TEMPERATURE, 100, 1);
    rig.read(TEMPERATURE, 300, 0);
    rig.run(500);
    expect(rig.alarm(HOT)?.state).toBe('returned-unacknowledged');
  });

  const exclusive = hotRule({
    limits: [
      { side: 'high', limit: 80, deadband: 2 },
      { side: 'high-high', limit: 90, deadband: 2, card: 'critical' },
    ],
    onDelayMs: 5 * S,
  });

  it('annunciates once, as high-high, when a value jumps over both limits (A4, OPC UA Part 9, 5.8.19)', () => {
    const rig = alarmRig([exclusive]);
    rig.read(TEMPERATURE, 1 * S, 50);
    rig.read(TEMPERATURE, 2 * S, 95);
    rig.run(10 * S);
    expect(journalText(rig, HOT)).toEqual(['7000 normal > unacknowledged (high-high)']);
    expect(rig.alarm(HOT)).toMatchObject({
      priority: 'critical',
      params: { value: { value: 95, unit: 'degC' }, limit: { value: 90, unit: 'degC' } },
    });
  });

  it('asks again when an acknowledged alarm gets worse, and only says so when it eases', () => {
    const rig = alarmRig([{ ...exclusive, onDelayMs: 0 }]);
    rig.read(TEMPERATURE, 1 * S, 85);
    rig.run(2 * S);
    rig.acknowledge(HOT, 2 * S);
    rig.read(TEMPERATURE, 3 * S, 95);
    rig.read(TEMPERATURE, 5 * S, 85);
    rig.run(4 * S);
    expect(rig.alarm(HOT)).toMatchObject({ state: 'unacknowledged', code: 'high-high', acknowledged: null });
    rig.acknowledge(HOT, 4.5 * S);
    rig.run(6 * S);
    expect(journalText(rig, HOT)).toEqual([
      '1000 normal > unacknowledged (high)',
      '2000 unacknowledged > acknowledged (high)',
      '3000 acknowledged > unacknowledged (high-high)',
      '4500 unacknowledged > acknowledged (high-high)',
      '5000 acknowledged > acknowledged (high)',
    ]);
  });

  it('mirrors everything for low limits', () => {
    const rig = alarmRig([hotRule({ limits: [{ side: 'low', limit: 40, deadband: 5 }] })]);
    rig.read(TEMPERATURE, 100, 40);
    rig.read(TEMPERATURE, 300, 39);
    rig.read(TEMPERATURE, 600, 45);
    rig.read(TEMPERATURE, 800, 46);
    rig.run(1000);
    expect(journalText(rig, HOT)).toEqual([
      '300 normal > unacknowledged (low)',
      '800 unacknowledged > returned-unacknowledged (low)',
    ]);
  });
});

describe('stepAlarms within a frame', () => {
  it('alarms for a pulse that comes and goes between two ticks, at its own times', () => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, 101, 85);
    rig.read(TEMPERATURE, 119, 20);
    rig.run(250);
    expect(journalText(rig, HOT)).toEqual([
      '101 normal > unacknowledged (high)',
      '119 unacknowledged > returned-unacknowledged (high)',
    ]);
  });

  it('ends a delay at its own millisecond although the tick comes later', () => {
    const rig = alarmRig([hotRule({ onDelayMs: 333 })]);
    rig.read(TEMPERATURE, 101, 85);
    rig.read(TEMPERATURE, 440, 20);
    rig.run(500);
    expect(journalText(rig, HOT)[0]).toBe('434 normal > unacknowledged (high)');
  });

  it('takes an acknowledgement as of the alarm that was seen, not of one that this very frame brings', () => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, 100, 85);
    rig.run(250);
    rig.acknowledge(HOT, 400);
    rig.read(TEMPERATURE, 300, 20);
    rig.read(TEMPERATURE, 350, 86);
    rig.run(500);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
    expect(rig.journal.at(1)).toMatchObject({ by: 'Operator 3', timeMs: 400, to: 'acknowledged' });
  });

  it('journals each alarm of one instant, and an unbroken chain of states for each', () => {
    const second = hotRule({ id: 'a.dryer.very-hot', limits: [{ side: 'high', limit: 90, deadband: 1 }] });
    const rig = alarmRig([hotRule(), second]);
    rig.read(TEMPERATURE, 100, 95);
    rig.read(TEMPERATURE, 150, 20);
    rig.run(250);
    for (const id of [HOT, second.id]) {
      const states = rig.journal.filter(({ alarm }) => alarm === id);
      expect(states.map(({ from }) => from)).toEqual(['normal', 'unacknowledged']);
      expect(states.map(({ to }) => to)).toEqual(['unacknowledged', 'returned-unacknowledged']);
    }
  });

  it('tells nothing and journals nothing while nothing changes', () => {
    const rig = alarmRig([hotRule()]);
    for (let at = 1; at < 40; at += 1) rig.read(TEMPERATURE, at * 200, 70 + (at % 9));
    rig.run(8 * S);
    expect([rig.journal, rig.told]).toEqual([[], []]);
  });

  it('leaves an order for an alarm that is normal or unknown without effect', () => {
    const rig = alarmRig([hotRule()]);
    rig.acknowledge(HOT, 100);
    rig.acknowledge('a.no.such', 100);
    rig.run(500);
    expect(rig.journal).toEqual([]);
  });
});

describe('stepAlarms when an input says nothing', () => {
  it.each(['bad', 'stale'] as const)('holds a standing alarm through %s readings and says why', (quality) => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, 100, 85);
    rig.run(500);
    rig.queue({ tag: TEMPERATURE, sourceTimeMs: 600, value: 20, quality });
    rig.run(1000);
    expect(rig.alarm(HOT)).toMatchObject({ state: 'unacknowledged', heldBecause: `tag-${quality}` });
    expect(rig.told.at(-1)).toMatchObject({ heldBecause: `tag-${quality}` });
    rig.read(TEMPERATURE, 1100, 81);
    rig.run(1500);
    expect(rig.alarm(HOT)).not.toHaveProperty('heldBecause');
  });

  it('is not raised by a bad value, however high', () => {
    const rig = alarmRig([hotRule()]);
    rig.queue({ tag: TEMPERATURE, sourceTimeMs: 100, value: 999, quality: 'bad' });
    rig.queue({ tag: TEMPERATURE, sourceTimeMs: 200, value: 999, quality: 'stale' });
    rig.run(500);
    expect(rig.journal).toEqual([]);
  });

  it('uses an uncertain value, which is less accurate but not wrong (OPC UA Part 4)', () => {
    const rig = alarmRig([hotRule()]);
    rig.queue({ tag: TEMPERATURE, sourceTimeMs: 100, value: 85, quality: 'uncertain' });
    rig.run(500);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
  });

  it('hears a value that came too late for its frame, without rewriting the past', () => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, 100, 85);
    rig.run(5 * S);
    rig.arriveLate(TEMPERATURE, 2 * S, 20);
    rig.run(6 * S);
    expect(journalText(rig, HOT)).toEqual([
      '100 normal > unacknowledged (high)',
      '2000 unacknowledged > returned-unacknowledged (high)',
    ]);
  });
});
