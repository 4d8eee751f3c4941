import { describe, expect, it } from 'vitest';
import { alarmRig, journalText } from './alarm-rig.ts';
import { HOT, hotRule, TEMPERATURE } from './rules.ts';

const S = 1000;
const by = 'Operator 3';
const RUNNING = 'a.dryer.running';

function shelve(more: { readonly untilMs: number; readonly isOneShot?: boolean }) {
  return {
    kind: 'shelve' as const,
    alarm: HOT,
    by,
    timeMs: 2 * S,
    isOneShot: false,
    reason: 'probe is being changed',
    ...more,
  };
}

describe('shelving', () => {
  it('silences until its time, then the alarm speaks again if its condition is there', () => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, S, 85);
    rig.run(2 * S);
    rig.order(shelve({ untilMs: 60 * S }));
    rig.run(3 * S);
    expect(rig.alarm(HOT)).toMatchObject({
      state: 'shelved',
      shelved: { by, reason: 'probe is being changed' },
    });
    rig.run(61 * S);
    expect(journalText(rig, HOT).slice(1)).toEqual([
      '2000 unacknowledged > shelved (high)',
      '60000 shelved > unacknowledged (high)',
    ]);
    expect(rig.alarm(HOT)).not.toHaveProperty('shelved');
  });

  it('says nothing of an alarm that comes and goes meanwhile', () => {
    const rig = alarmRig([hotRule()]);
    rig.order(shelve({ untilMs: 60 * S }));
    rig.run(3 * S);
    rig.read(TEMPERATURE, 5 * S, 85);
    rig.read(TEMPERATURE, 9 * S, 20);
    rig.run(61 * S);
    expect(rig.journal.map(({ from, to }) => [from, to])).toEqual([
      ['normal', 'shelved'],
      ['shelved', 'normal'],
    ]);
  });

  it('ends, one-shot, when the alarm has come and gone (OPC UA Part 9, 5.8.17)', () => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, S, 85);
    rig.run(2 * S);
    rig.order(shelve({ untilMs: 600 * S, isOneShot: true }));
    rig.read(TEMPERATURE, 9 * S, 20);
    rig.read(TEMPERATURE, 20 * S, 86);
    rig.run(21 * S);
    expect(journalText(rig, HOT).slice(1)).toEqual([
      '2000 unacknowledged > shelved (high)',
      '9000 shelved > normal (high)',
      '20000 normal > unacknowledged (high)',
    ]);
  });

  it('can be ended by a person, and ending what is not shelved does nothing', () => {
    const rig = alarmRig([hotRule()]);
    rig.read(TEMPERATURE, S, 85);
    rig.run(2 * S);
    rig.acknowledge(HOT, 2 * S);
    rig.order({ kind: 'unshelve', alarm: HOT, by, timeMs: 2.5 * S });
    rig.run(3 * S);
    expect(rig.alarm(HOT)).toMatchObject({ state: 'acknowledged', acknowledged: { by } });
    rig.order(shelve({ untilMs: 60 * S }));
    rig.order({ kind: 'unshelve', alarm: HOT, by: 'Operator 1', timeMs: 4 * S });
    rig.run(5 * S);
    expect(rig.journal.at(-1)).toMatchObject({ from: 'shelved', to: 'unacknowledged', by: 'Operator 1' });
  });
});

describe('suppression by design', () => {
  const idle = {
    id: 'a.dryer.idle',
    line: 'a',
    while: { all: [{ subject: RUNNING, is: 'off' as const }], lastsMs: 5 * S },
    rules: [HOT],
    reason: 'The dryer stands.',
  };

  it('withholds and lists, whether or not the condition is there, and lasts its grace', () => {
    const rig = alarmRig([hotRule()], { suppressions: [idle] });
    rig.read(RUNNING, S, 0);
    rig.run(2 * S);
    expect(rig.alarm(HOT)).toMatchObject({ state: 'suppressed-by-design', suppressedBy: ['a.dryer.idle'] });
    rig.read(TEMPERATURE, 3 * S, 85);
    rig.read(RUNNING, 10 * S, 1);
    rig.run(20 * S);
    expect(journalText(rig, HOT)).toEqual([
      '1000 normal > suppressed-by-design (high)',
      '15000 suppressed-by-design > unacknowledged (high)',
    ]);
  });

  it('withholds what comes at the same instant as the state that withholds it', () => {
    const rig = alarmRig(
      [hotRule({ subject: RUNNING, limits: [{ side: 'low', limit: 0.5, deadband: 0 }] })],
      {
        suppressions: [idle],
      },
    );
    rig.read(RUNNING, S, 0);
    rig.run(2 * S);
    expect(rig.journal.map(({ to }) => to)).toEqual(['suppressed-by-design']);
  });

  it('ends with the last of several reasons', () => {
    const night = {
      ...idle,
      id: 'a.dryer.night',
      while: { all: [{ subject: 'a.line.night', is: 'on' as const }] },
    };
    const rig = alarmRig([hotRule()], { suppressions: [{ ...idle, while: { all: idle.while.all } }, night] });
    rig.read(RUNNING, S, 0);
    rig.read('a.line.night', S, 1);
    rig.read(RUNNING, 3 * S, 1);
    rig.run(4 * S);
    expect(rig.alarm(HOT)).toMatchObject({ state: 'suppressed-by-design', suppressedBy: ['a.dryer.night'] });
    rig.read('a.line.night', 5 * S, 0);
    rig.run(6 * S);
    expect(rig.standing()).toEqual([]);
  });

  it('survives a restart and ends afterwards', () => {
    const rig = alarmRig([hotRule()], { suppressions: [idle] });
    rig.read(RUNNING, S, 0);
    rig.read(TEMPERATURE, S, 85);
    rig.run(2 * S);
    const before = rig.standing();
    rig.restart();
    expect(rig.standing()).toEqual(before);
    rig.read(RUNNING, 3 * S, 1);
    rig.run(9 * S);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
  });
});

describe('out of service', () => {
  it('is quiet until somebody puts it back, and then as its condition is', () => {
    const rig = alarmRig([hotRule()]);
    rig.order({ kind: 'take-out-of-service', alarm: HOT, by, timeMs: S, reason: 'overhaul' });
    rig.run(2 * S);
    rig.read(TEMPERATURE, 3 * S, 85);
    rig.run(4 * S);
    expect(rig.alarm(HOT)?.state).toBe('out-of-service');
    rig.order({ kind: 'put-back-in-service', alarm: HOT, by, timeMs: 5 * S, reason: 'done' });
    rig.run(6 * S);
    expect(rig.journal.map(({ to }) => to)).toEqual(['out-of-service', 'unacknowledged']);
  });
});

describe('re-alarm', () => {
  it('asks again when an acknowledged alarm is still there after its time, and not sooner', () => {
    const rig = alarmRig([hotRule({ reAlarmMs: 60 * S })]);
    rig.read(TEMPERATURE, S, 85);
    rig.run(2 * S);
    rig.acknowledge(HOT, 2 * S);
    rig.run(61.75 * S);
    expect(rig.alarm(HOT)?.state).toBe('acknowledged');
    rig.run(62 * S);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
  });
});
