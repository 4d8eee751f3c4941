import { describe, expect, it } from 'vitest';
import { ALARM_STATES, type AlarmState } from '#server/contract/alarm-message.ts';
import { alarmRig, type Rig } from './alarm-rig.ts';
import { HOT, hotRule, TEMPERATURE } from './rules.ts';

const S = 1000;
const by = 'Operator 3';
const shelve = (timeMs: number) =>
  ({
    kind: 'shelve',
    alarm: HOT,
    by,
    timeMs,
    untilMs: 60 * S,
    isOneShot: false,
    reason: 'probe is being changed',
  }) as const;

/** How to bring the alarm into each state, on a latching rule where it needs one. */
const WAYS: Readonly<Record<Exclude<AlarmState, 'suppressed-by-design'>, (rig: Rig) => void>> = {
  normal: (rig) => rig.run(S),
  unacknowledged: raise,
  acknowledged: (rig) => {
    raise(rig);
    acknowledge(rig);
  },
  'returned-unacknowledged': (rig) => {
    raise(rig);
    clear(rig);
  },
  'latched-unacknowledged': (rig) => {
    raise(rig);
    clear(rig);
  },
  'latched-acknowledged': (rig) => {
    raise(rig);
    acknowledge(rig);
    clear(rig);
  },
  shelved: (rig) => {
    raise(rig);
    rig.order(shelve(2 * S));
    rig.run(3 * S);
  },
  'out-of-service': (rig) => {
    raise(rig);
    rig.order({
      kind: 'take-out-of-service',
      alarm: HOT,
      by,
      timeMs: 2 * S,
      reason: 'dryer is being overhauled',
    });
    rig.run(3 * S);
  },
};

function raise(rig: Rig): void {
  rig.read(TEMPERATURE, 100, 85);
  rig.run(S);
}

function acknowledge(rig: Rig): void {
  rig.acknowledge(HOT, 1.5 * S);
  rig.run(2 * S);
}

function clear(rig: Rig): void {
  rig.read(TEMPERATURE, 2.5 * S, 20);
  rig.run(3 * S);
}

describe('restoredAlarmState', () => {
  it('is tried in every state but suppression, which the cascades try', () => {
    expect(Object.keys(WAYS)).toHaveLength(ALARM_STATES.length - 1);
  });

  it.each(Object.entries(WAYS))('brings an alarm back exactly as it was: %s', (state, bring) => {
    const rig = alarmRig([hotRule({ isLatching: state.startsWith('latched') })]);
    bring(rig);
    const before = rig.standing();
    expect(before.map((message) => message.state)).toEqual(state === 'normal' ? [] : [state]);
    rig.restart();
    expect(rig.standing()).toEqual(before);
    const lines = rig.journal.length;
    rig.run(10 * S);
    expect(rig.standing()).toEqual(before);
    expect(rig.journal).toHaveLength(lines);
  });

  it.each(Object.entries(WAYS))('goes on from there: %s', (state, bring) => {
    const once = alarmRig([hotRule({ isLatching: state.startsWith('latched') })]);
    const twice = alarmRig([hotRule({ isLatching: state.startsWith('latched') })]);
    for (const rig of [once, twice]) bring(rig);
    twice.restart();
    for (const rig of [once, twice]) {
      rig.read(TEMPERATURE, 20 * S, 86);
      rig.run(21 * S);
      rig.acknowledge(HOT, 22 * S);
      rig.run(23 * S);
      rig.read(TEMPERATURE, 30 * S, 20);
      rig.run(70 * S);
    }
    expect(twice.standing()).toEqual(once.standing());
    expect(twice.journal).toEqual(once.journal);
  });

  it('does not clear an armed alarm because its premise has not spoken yet', () => {
    const armed = { all: [{ subject: 'a.line.flow', above: 500, unit: 'kg/h' as const }] };
    const rig = alarmRig([hotRule({ armed })]);
    rig.read('a.line.flow', 50, 9000);
    raise(rig);
    rig.restart();
    rig.read(TEMPERATURE, 5 * S, 84);
    rig.run(6 * S);
    expect(rig.alarm(HOT)?.state).toBe('unacknowledged');
    rig.read('a.line.flow', 7 * S, 0);
    rig.run(8 * S);
    expect(rig.alarm(HOT)?.state).toBe('returned-unacknowledged');
  });

  it('ends an alarm whose rule is gone, and the journal says why', () => {
    const rig = alarmRig([hotRule()]);
    raise(rig);
    rig.restart([hotRule({ id: 'a.dryer.other' })]);
    rig.run(2 * S);
    expect(rig.standing()).toEqual([]);
    expect(rig.journal.at(-1)).toMatchObject({
      alarm: HOT,
      from: 'unacknowledged',
      to: 'normal',
      params: { ended: 'rule-removed' },
    });
    expect(rig.told.at(-1)).toMatchObject({ id: HOT, state: 'normal' });
  });
});
