import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { AlarmTransition } from '#server/contract/alarm-message.ts';
import { alarmRig, type Rig } from './alarm-rig.ts';
import { chainGraph, settings, stopRules } from './line.ts';
import { hotRule, TEMPERATURE, HOT } from './rules.ts';

const S = 1000;
const DESTONER = 'a.destoner.stopped';

const limitRule = hotRule({
  limits: [
    { side: 'high', limit: 80, deadband: 5 },
    { side: 'high-high', limit: 90, deadband: 5, card: 'critical' },
    { side: 'low', limit: 20, deadband: 5 },
  ],
  onDelayMs: 700,
  offDelayMs: 300,
  reAlarmMs: 60 * S,
});

/** What may happen to a plant and its operator, at seconds 1, 2, 3 ... */
const happenings = fc.array(
  fc.oneof(
    fc.record({ what: fc.constant('temperature' as const), value: fc.integer({ min: 0, max: 100 }) }),
    fc.record({
      what: fc.constant('contact' as const),
      machine: fc.constantFrom('destoner', 'sizer', 'intake', 'bagger'),
      value: fc.constantFrom(0, 1, null),
    }),
    fc.record({ what: fc.constant('acknowledge' as const), alarm: fc.constantFrom(HOT, DESTONER) }),
    fc.record({ what: fc.constant('shelve' as const), alarm: fc.constantFrom(HOT, DESTONER) }),
    fc.record({ what: fc.constant('silence' as const) }),
  ),
  { minLength: 1, maxLength: 40 },
);
type Happening = typeof happenings extends fc.Arbitrary<readonly (infer Each)[]> ? Each : never;

function playedOn(rig: Rig, played: readonly Happening[], afterEach: () => void = () => undefined): Rig {
  played.forEach((happening, at) => {
    const timeMs = (at + 1) * S;
    if (happening.what === 'temperature') rig.read(TEMPERATURE, timeMs + 37, happening.value);
    if (happening.what === 'contact')
      rig.read(`a.${happening.machine}.running`, timeMs + 91, happening.value);
    if (happening.what === 'acknowledge') rig.acknowledge(happening.alarm, timeMs);
    if (happening.what === 'shelve') {
      const { alarm } = happening;
      rig.order({
        kind: 'shelve',
        alarm,
        by: 'x',
        timeMs,
        untilMs: timeMs + 5 * S,
        isOneShot: false,
        reason: 'y',
      });
    }
    rig.run(timeMs + S);
    afterEach();
  });
  return rig;
}

const newRig = () =>
  alarmRig([limitRule, ...stopRules()], { firstStop: [settings()], graphs: [chainGraph()] });

/** What an input that has not spoken since the restart says of a hold cannot be known. */
const standingWithoutHold = (rig: Rig) =>
  rig
    .standing()
    .map((message) => Object.fromEntries(Object.entries(message).filter(([key]) => key !== 'heldBecause')));

const chainOf = (journal: readonly AlarmTransition[], alarm: string) =>
  journal.filter((line) => line.alarm === alarm);

describe('stepAlarms, whatever happens', () => {
  it('journals an unbroken chain of states for each alarm, which ends where the alarm stands', () => {
    fc.assert(
      fc.property(happenings, (played) => {
        const rig = playedOn(newRig(), played);
        for (const alarm of new Set(rig.journal.map((line) => line.alarm))) {
          const chain = chainOf(rig.journal, alarm);
          expect(chain.map(({ from }) => from)).toEqual(
            ['normal', ...chain.map(({ to }) => to)].slice(0, -1),
          );
          expect(chain.at(-1)?.to).toBe(rig.alarm(alarm)?.state ?? 'normal');
        }
      }),
      { numRuns: 150 },
    );
  });

  it('tells everyone how every alarm stands: the last message of each is what stands', () => {
    fc.assert(
      fc.property(happenings, (played) => {
        const rig = playedOn(newRig(), played);
        const last = new Map(rig.told.map((message) => [message.id, message]));
        const open = [...last.values()].filter(({ state }) => state !== 'normal');
        const byId = (a: { id: string }, b: { id: string }) => (a.id < b.id ? -1 : 1);
        expect(open.sort(byId)).toEqual([...rig.standing()].sort(byId));
      }),
      { numRuns: 150 },
    );
  });

  it('brings every standing alarm through a restart at any second', () => {
    fc.assert(
      fc.property(happenings, (played) => {
        const rig = newRig();
        playedOn(rig, played, () => {
          const before = standingWithoutHold(rig);
          rig.restart();
          expect(standingWithoutHold(rig)).toEqual(before);
        });
      }),
      { numRuns: 100 },
    );
  });

  it('journals all 5,000 transitions of a storm of 10 s', () => {
    const rules = Array.from({ length: 500 }, (_, at) =>
      hotRule({
        id: `a.dryer.r${at}`,
        subject: `a.dryer.t${at}`,
        limits: [{ side: 'high', limit: 80, deadband: 5 }],
      }),
    );
    const rig = alarmRig(rules);
    for (let swing = 0; swing < 10; swing += 1) {
      rules.forEach(({ subject }, at) => rig.read(subject, swing * S + at + 1, swing % 2 === 0 ? 90 : 20));
    }
    rig.run(10 * S);
    expect(rig.journal).toHaveLength(5000);
    expect(new Set(rig.journal.map(({ alarm, timeMs }) => `${alarm} ${timeMs}`)).size).toBe(5000);
  });
});
