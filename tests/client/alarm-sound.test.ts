import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { alarmSound, PULSES } from '#client/live/alarm-sound.ts';
import { snapshotStore } from '#client/live/snapshot-store.ts';
import type { AlarmMessage, Priority } from '#server/contract/alarm-message.ts';
import { PRIORITIES } from '#server/contract/alarm-message.ts';
import { fakeAlarm } from '#tests/support/fake-alarms.ts';

describe('alarmSound', () => {
  let played: Priority[];
  let isLet: boolean;
  let stop: () => void;
  const alarms = snapshotStore<readonly AlarmMessage[]>([]);

  beforeEach(() => {
    vi.useFakeTimers();
    vi.stubGlobal('window', globalThis);
    played = [];
    isLet = true;
    alarms.set([]);
  });
  afterEach(() => {
    stop();
    vi.useRealTimers();
    vi.unstubAllGlobals();
  });

  function sound() {
    const made = alarmSound(alarms, (priority) => {
      played.push(priority);
      return Promise.resolve(isLet);
    });
    stop = made.start();
    return made;
  }

  it('is silent until somebody turns it on', () => {
    sound();
    alarms.set([fakeAlarm('a')]);
    vi.advanceTimersByTime(60_000);
    expect(played).toEqual([]);
  });

  it('repeats the most urgent until it is acknowledged', async () => {
    sound().turnOn();
    alarms.set([fakeAlarm('a', { priority: 'low' }), fakeAlarm('b', { priority: 'high' })]);
    await vi.advanceTimersByTimeAsync(8000);
    expect(played).toEqual(['high', 'high', 'high']);
    alarms.set([fakeAlarm('a', { state: 'acknowledged' }), fakeAlarm('b', { state: 'acknowledged' })]);
    await vi.advanceTimersByTimeAsync(8000);
    expect(played).toHaveLength(3);
  });

  it('stays silent for what was silenced, and sounds for the next', async () => {
    const made = sound();
    made.turnOn();
    alarms.set([fakeAlarm('a')]);
    made.silence();
    await vi.advanceTimersByTimeAsync(8000);
    expect(played).toEqual(['high']);
    alarms.set([fakeAlarm('a'), fakeAlarm('b', { priority: 'low' })]);
    expect(played).toEqual(['high', 'low']);
  });

  it('sounds again for a silenced alarm that went and came anew', () => {
    const made = sound();
    made.turnOn();
    alarms.set([fakeAlarm('a')]);
    made.silence();
    alarms.set([]);
    alarms.set([fakeAlarm('a', { raisedMs: 5 })]);
    expect(played).toEqual(['high', 'high']);
  });

  it('says that the browser did not let it begin, and is off', async () => {
    isLet = false;
    const made = sound();
    made.turnOn();
    alarms.set([fakeAlarm('a')]);
    await vi.advanceTimersByTimeAsync(1);
    expect(made.state.get()).toEqual({ isOn: false, sounding: null, isBlocked: true });
  });

  it('tells the priorities apart by number and pitch, more of both the more urgent', () => {
    const inOrder = PRIORITIES.map((priority) => PULSES[priority]);
    for (const [index, pulses] of inOrder.slice(1).entries()) {
      expect(inOrder[index]?.count).toBeGreaterThan(pulses.count);
      expect(inOrder[index]?.hertz).toBeGreaterThan(pulses.hertz);
    }
  });
});
