import { describe, expect, it } from 'vitest';
import { annunciationsIn } from '#server/alarms/annunciations.ts';
import type { ReplayAnswer } from '#server/contract/alarm-replay.ts';
import { alarmStudy } from '#server/study/alarm-study.ts';
import { conditionRule, configurationOf } from '#tests/alarms/rules.ts';
import { badReading, steady } from '#tests/line/demo-readings.ts';
import { after, OVERFED, OVERFED_RULE, pipelineRig, START_MS } from '#tests/pipeline/pipeline-rig.ts';
import { SMALL_CONFIG } from './small-config.ts';

const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const NEVER = new AbortController().signal;
const flow = (value: number, fromS: number, toS: number) =>
  steady('s.pit.flow', value, { fromMs: after(fromS), toMs: after(toS) });

/** Alarms on a tag with a delay, on a figure, and on both together. */
const RULES = [
  { ...OVERFED_RULE, onDelayMs: 2500 },
  {
    ...OVERFED_RULE,
    id: 's.line.fed-low',
    machine: null,
    subject: 's.line.feed-rate',
    limits: [{ side: 'low' as const, limit: 9000, deadband: 0 }],
    onDelayMs: 3000,
  },
  conditionRule({
    id: 's.drum.dry',
    line: 's',
    code: 'seed-without-liquid',
    when: [
      { subject: 's.drum.pump', below: 100, unit: 'kg/h' },
      { subject: 's.pit.flow', above: 5000, unit: 'kg/h' },
    ],
    onDelayMs: 1000,
  }),
];

/** Ten minutes in which each of the rules asks once or more, and one of them would only just not. */
async function watched() {
  const rig = await pipelineRig({ rules: RULES });
  const readings = [
    ...flow(10_000, 0, 60),
    ...flow(12_500, 61, 70),
    ...flow(10_000, 71, 120),
    ...flow(12_900, 121, 122), // Two seconds: shorter than the delay.
    ...flow(10_000, 123, 200),
    badReading('s.pit.flow', after(201)),
    ...flow(6000, 202, 260),
    ...flow(10_000, 261, 300),
    ...flow(13_500, 301, 304),
    ...flow(10_000, 305, 400),
    ...steady('s.drum.pump', 900, { fromMs: after(0), toMs: after(330) }),
    ...steady('s.drum.pump', 0, { fromMs: after(331), toMs: after(340) }),
    ...steady('s.drum.pump', 900, { fromMs: after(341), toMs: after(400) }),
  ];
  await rig.play(readings, after(405));
  const config = { ...SMALL_CONFIG, alarms: configurationOf(RULES) };
  const clock = { nowMs: () => after(405), every: () => () => undefined };
  const study = alarmStudy({ config, samples: rig.samples, records: rig.records, clock });
  const replay = (proposal: string, range = { fromMs: START_MS, toMs: after(405) }): Promise<ReplayAnswer> =>
    study.replay({ ...range, proposal }, NEVER);
  return { rig, replay };
}

describe('a replay', () => {
  it('of the rules as they are tells the alarms that were told live: on tags to the millisecond, on figures to the second they are kept at', async () => {
    const { rig, replay } = await watched();
    const live = annunciationsIn(await rig.records.alarmJournal(ALL));
    expect(new Set(live.map(({ alarm }) => alarm))).toEqual(new Set(RULES.map(({ id }) => id)));
    const touchingAll = JSON.stringify({ rules: RULES.map(({ id }) => ({ id })) });
    const { inForce, proposed, withoutHistory } = await replay(touchingAll);
    const played = inForce.occurrences.map(({ annunciation }) => annunciation);
    const isOnTag = ({ subject }: { subject: string }) => subject !== 's.line.feed-rate';
    expect(played.filter(isOnTag)).toEqual(live.filter(isOnTag));
    expect(played.map(({ alarm, code }) => [alarm, code])).toEqual(
      live.map(({ alarm, code }) => [alarm, code]),
    );
    for (const [index, { timeMs }] of played.entries()) {
      expect(Math.abs(timeMs - (live[index]?.timeMs ?? 0))).toBeLessThanOrEqual(1000);
    }
    expect(proposed).toEqual(inForce);
    expect(withoutHistory).toEqual([]);
  });

  it('of another limit tells what it would have cost beside what the one in force did', async () => {
    const { replay } = await watched();
    // By hand: above 12,000 for 10 s and for 4 s; above 13,000 only for the 4 s; above 12,000 for at least 1 s thrice.
    const tighter = await replay(
      `rules: [{ id: ${OVERFED}, limits: [{ side: high, limit: 13000, deadband: 100 }] }]`,
    );
    expect(tighter.cost).toEqual([{ alarm: OVERFED, inForce: 2, proposed: 1 }]);
    expect(tighter.proposed.occurrences).toMatchObject([
      { alarm: OVERFED, annunciation: { timeMs: after(303.5), code: 'high' }, clearedMs: after(305) },
    ]);
    const quicker = await replay(`rules: [{ id: ${OVERFED}, onDelayMs: 1000 }]`);
    expect(quicker.cost).toEqual([{ alarm: OVERFED, inForce: 2, proposed: 3 }]);
    expect(quicker.rules).toEqual([OVERFED]);
  });

  it('without a rule tells what would have been spared', async () => {
    const { replay } = await watched();
    const { cost, proposed, inForce } = await replay(`without: [${OVERFED}]`);
    expect(cost).toEqual([{ alarm: OVERFED, inForce: 2, proposed: 0 }]);
    expect([inForce.annunciations, proposed.annunciations, proposed.occurrences]).toEqual([2, 0, []]);
  });

  it('counts in its own time only what began in it, though it looks further back', async () => {
    const { replay } = await watched();
    const { cost, proposed } = await replay(`rules: [{ id: ${OVERFED} }]`, {
      fromMs: after(65),
      toMs: after(302),
    });
    expect(cost).toEqual([{ alarm: OVERFED, inForce: 0, proposed: 0 }]);
    expect(proposed.stoodBefore).toEqual([OVERFED]);
  });

  it('says which tags it knows nothing of, and raises nothing from them', async () => {
    const { replay } = await watched();
    const before = { fromMs: START_MS - 7_200_000, toMs: START_MS - 3_600_000 };
    const { withoutHistory, samples, proposed } = await replay(`rules: [{ id: ${OVERFED} }]`, before);
    expect({ withoutHistory, samples, annunciations: proposed.annunciations }).toEqual({
      withoutHistory: ['s.pit.flow'],
      samples: 0,
      annunciations: 0,
    });
  });

  it('does not count a time in which nothing was recorded as one in which all stood still', async () => {
    const rig = await pipelineRig({ rules: RULES });
    await rig.play(flow(13_000, 0, 1), after(1));
    const study = alarmStudy({
      config: { ...SMALL_CONFIG, alarms: configurationOf(RULES) },
      samples: rig.samples,
      records: rig.records,
      clock: { nowMs: () => after(400), every: () => () => undefined },
    });
    // A delay of a minute, after one second of readings that are believed for ten seconds.
    const proposal = `rules: [{ id: ${OVERFED}, onDelayMs: 60000 }]`;
    const answer = await study.replay({ fromMs: START_MS, toMs: after(400), proposal }, NEVER);
    expect(answer.proposed.annunciations).toBe(0);
    expect(answer.inForce.annunciations).toBe(1);
  });

  it.each([
    [
      'an unknown tag',
      `rules:\n  - id: ${OVERFED}\n    subject: s.pit.flaw`,
      'CONFIG_REFERENCE proposal:3 rules.s.pit.overfed.subject: got s.pit.flaw, expected a tag or figure of the plant; mend it; nothing was replayed',
    ],
    [
      'limits out of order',
      `rules:\n  - id: ${OVERFED}\n    limits:\n      - { side: high, limit: 5, deadband: 0 }\n      - { side: low, limit: 6, deadband: 0 }`,
      'CONFIG_RANGE proposal:3 rules.s.pit.overfed.limits.high [kg/h]: got 5, expected > 6, which is low; put the limits in order',
    ],
    [
      'a card that there is not',
      `rules:\n  - id: ${OVERFED}\n    card: look`,
      'CONFIG_REFERENCE proposal:3 rules.s.pit.overfed.card: got look, expected the name of a card; an alarm needs one; mend it; nothing was replayed',
    ],
  ])('of %s is refused with the line of the proposal', async (_what, proposal, told) => {
    const { replay } = await watched();
    await expect(replay(proposal)).rejects.toThrow(told);
  });

  it('of more than 31 days, or of none, is refused', async () => {
    const { replay } = await watched();
    const told = (got: number) =>
      `REQUEST_INVALID replayed time [h]: got ${got}, expected > 0 and <= 744; ask for a shorter time`;
    const range = { fromMs: START_MS, toMs: START_MS + 32 * 86_400_000 };
    await expect(replay('rules: []', range)).rejects.toThrow(told(768));
    await expect(replay('rules: []', { fromMs: 1, toMs: 1 })).rejects.toThrow(told(0));
  });

  it('is given up when nobody waits for it any more', async () => {
    const { rig } = await watched();
    const gone = new AbortController();
    gone.abort(new Error('gone'));
    const clock = { nowMs: () => after(405), every: () => () => undefined };
    const config = { ...SMALL_CONFIG, alarms: configurationOf(RULES) };
    const study = alarmStudy({ config, samples: rig.samples, records: rig.records, clock });
    const request = { fromMs: START_MS, toMs: after(405), proposal: `rules: [{ id: ${OVERFED} }]` };
    await expect(study.replay(request, gone.signal)).rejects.toThrow('gone');
    expect((await study.replay(request, NEVER)).cost).toHaveLength(1);
  });
});
