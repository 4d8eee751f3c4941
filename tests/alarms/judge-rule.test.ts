import { describe, expect, it } from 'vitest';
import { alarmRig, journalText } from './alarm-rig.ts';
import { conditionRule, DOSE, DOSE_OFF, doseRule, HOT, hotRule, TEMPERATURE } from './rules.ts';

const S = 1000;

describe('stepAlarms on deviations', () => {
  const band = { low: 130, high: 150, target: 140 };

  it('alarms over 5 % above a target of 140, by hand 147, and clears under 145.6', () => {
    const rig = alarmRig([doseRule()]);
    for (const value of [147, 147.1, 145.7, 145.5]) {
      rig.figure(DOSE, value, { band });
      rig.tick();
    }
    expect(rig.journal.map(({ timeMs, to, code }) => [timeMs, to, code])).toEqual([
      [500, 'unacknowledged', 'above-target'],
      [1000, 'returned-unacknowledged', 'above-target'],
    ]);
    expect(rig.journal[0]?.params).toEqual({
      value: { value: 147.1, unit: 'mL/bu' },
      target: { value: 140, unit: 'mL/bu' },
    });
  });

  it('goes from above to below as one alarm that asks again', () => {
    const rig = alarmRig([doseRule({ allowed: { from: 'band', deadband: 1 } })]);
    rig.figure(DOSE, 151, { band });
    rig.run(500);
    rig.acknowledge(DOSE_OFF, 500);
    rig.run(750);
    rig.figure(DOSE, 129, { band });
    rig.run(1000);
    expect(rig.alarm(DOSE_OFF)).toMatchObject({
      state: 'unacknowledged',
      code: 'below-band',
      params: { limit: { value: 130, unit: 'mL/bu' } },
    });
  });

  it('has nothing to deviate from without a lot: it neither alarms nor stands', () => {
    const rig = alarmRig([doseRule()]);
    rig.figure(DOSE, 170, { band });
    rig.run(500);
    rig.figure(DOSE, 170);
    rig.run(1000);
    expect(rig.alarm(DOSE_OFF)?.state).toBe('returned-unacknowledged');
  });

  it('holds while the figure is unknown and names the reason', () => {
    const rig = alarmRig([doseRule()]);
    rig.figure(DOSE, 170, { band });
    rig.run(500);
    rig.figure(DOSE, null, { band, because: 'link-down' });
    rig.run(1000);
    expect(rig.alarm(DOSE_OFF)).toMatchObject({ state: 'unacknowledged', heldBecause: 'link-down' });
  });
});

describe('stepAlarms and arming', () => {
  const FLOW = 'a.treater.seed-flow';
  const armed = {
    all: [{ subject: FLOW, above: 500, unit: 'kg/h' as const }],
    afterMs: 10 * S,
    lastsMs: 2 * S,
  };

  it('asks its question only after the premise has held for its time: start-up has its grace', () => {
    const rig = alarmRig([hotRule({ armed })]);
    rig.read(TEMPERATURE, 100, 85);
    rig.read(FLOW, 1 * S, 9000);
    rig.run(10.75 * S);
    expect(rig.journal).toEqual([]);
    rig.run(11 * S);
    expect(journalText(rig, HOT)).toEqual(['11000 normal > unacknowledged (high)']);
  });

  it('ends with its premise, which lasts its time', () => {
    const rig = alarmRig([hotRule({ armed: { ...armed, afterMs: 0 } })]);
    rig.read(FLOW, 100, 9000);
    rig.read(TEMPERATURE, 200, 85);
    rig.read(FLOW, 5 * S, 0);
    rig.run(8 * S);
    expect(journalText(rig, HOT)).toEqual([
      '200 normal > unacknowledged (high)',
      '7000 unacknowledged > returned-unacknowledged (high)',
    ]);
  });

  it('stays armed while the premise says nothing', () => {
    const rig = alarmRig([hotRule({ armed })]);
    rig.read(FLOW, 100, 9000);
    rig.run(11 * S);
    rig.read(FLOW, 11.5 * S, null);
    rig.read(TEMPERATURE, 60 * S, 85);
    rig.run(61 * S);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
  });

  it('alarms for liquid without seed, and not for liquid onto seed', () => {
    const id = 'a.treater.liquid-without-seed';
    const rule = conditionRule({
      id,
      machine: 'treater',
      code: 'liquid-without-seed',
      when: [
        { subject: 'a.treater.pump-a-flow', above: 5, unit: 'mL/min' },
        { subject: FLOW, below: 500, unit: 'kg/h' },
      ],
      onDelayMs: 2 * S,
    });
    const rig = alarmRig([rule]);
    rig.read('a.treater.pump-a-flow', 100, 300);
    rig.run(5 * S);
    expect(rig.journal).toEqual([]);
    rig.read(FLOW, 5.1 * S, 9000);
    rig.run(10 * S);
    expect(rig.journal).toEqual([]);
    rig.read(FLOW, 11 * S, 100);
    rig.run(14 * S);
    expect(journalText(rig, id)).toEqual(['13000 normal > unacknowledged (liquid-without-seed)']);
  });
});
