import { describe, expect, it } from 'vitest';
import type { Command } from '#server/contract/commands.ts';
import { aMark } from '#tests/support/record-builders.ts';
import { after, OVERFED, pipelineRig } from './pipeline-rig.ts';
import { ADA, ALL, BO, flow, RULES, SHELVE, standing, TAKE_OUT } from './standing-alarm.ts';

describe('a restart', () => {
  it.each([
    ['unacknowledged', []],
    ['acknowledged', [{ kind: 'acknowledge-alarm', alarm: OVERFED }]],
    ['shelved', [SHELVE]],
    ['out-of-service', [TAKE_OUT]],
    ['shelved', [{ kind: 'acknowledge-alarm', alarm: OVERFED }, SHELVE]],
  ] as const)('finds an alarm that is %s as it was, to the last word', async (state, commands) => {
    const { rig, give, shown } = await standing();
    for (const command of commands) await give(command, BO);
    const { records, samples } = rig;
    const kept = await records.standingAlarms();
    const again = await pipelineRig({
      rules: RULES,
      records,
      samples,
      standing: kept,
      startMs: after(24),
      resumes: true,
    });
    await again.play(flow(13_000, 25, 30), after(31));
    const told = again.updates.flatMap(({ alarms }) => alarms).filter(({ id }) => id === OVERFED);
    expect(told).toEqual([shown()]);
    expect(told[0]?.state).toBe(state);
  });

  it('ends a shelving whose time ran out while the server stood', async () => {
    const { rig, give } = await standing();
    await give({ ...SHELVE, forMs: 10_000 });
    const { records } = rig;
    const standingThen = await records.standingAlarms();
    const again = await pipelineRig({ rules: RULES, records, standing: standingThen, startMs: after(100) });
    await again.play(flow(13_000, 101, 103), after(104));
    const states = again.updates.flatMap(({ alarms }) => alarms.map(({ state }) => state));
    expect(states).toEqual(['shelved', 'unacknowledged']);
  });
});

describe('a chart of a figure', () => {
  const drift = {
    id: 's.line.feed-drift',
    line: 's',
    machine: null,
    card: 'low',
    kind: 'drift' as const,
    subject: 's.line.feed-rate',
    unit: 'kg/h' as const,
    chart: { kind: 'cusum' as const, allowance: 0.5, decision: 80 },
    sampleMs: 1000,
    center: 'learned' as const,
    learnSamples: 10,
    deviationMin: 50,
  };
  const lot = {
    line: 's',
    number: 'QM-1',
    crop: 'soybean',
    massKgPlanned: null,
    testWeightKgPerHl: null,
  } as const;
  const START_LOT: Command = {
    kind: 'start-lot',
    lot: { ...lot, route: 'all', treatmentPlan: '', products: [] },
  };
  const mark = (kind: 'setting' | 'note', machine: string | null): Command => ({
    kind: 'write-mark',
    mark: aMark({ line: 's', machine, kind, timeMs: after(50) }),
  });

  /**
   * Learns at 10,000 kg/h and then sees 10,400, whose mean is there after ten seconds: a drift, unless it is told
   * something by then and learns anew. By hand: 8 deviations of 50 less the allowance add up to 80 at about 62 s.
   */
  async function told(command: Command | null) {
    const rig = await pipelineRig({ rules: [drift] });
    await rig.play([...flow(10_000, 0, 46), ...flow(10_400, 47, 58)], after(58));
    if (command !== null) void rig.commands.carryOut({ actor: ADA, command });
    await rig.play(flow(10_400, 59, 110), after(112));
    return (await rig.records.alarmJournal(ALL)).map(({ alarm, code }) => [alarm, code]);
  }
  const DRIFTED = [[drift.id, 'drift-up']];

  it('signals a drift when nothing was said', async () => {
    expect(await told(null)).toEqual(DRIFTED);
  });

  it.each([
    ['a new lot', START_LOT],
    ['a setting of a machine', mark('setting', 'cleaner')],
    ['a setting of the line', mark('setting', null)],
  ])('learns anew after %s', async (_what, command) => {
    expect(await told(command)).toEqual([]);
  });

  it.each([
    ['goes on with what it had learned after a restart within a minute', true, DRIFTED],
    ['takes what it sees for normal when it has to begin anew', false, []],
  ])('%s', async (_what, resumes, signalled) => {
    const first = await pipelineRig({ rules: [drift] });
    await first.play(flow(10_000, 0, 46), after(46));
    const { records, samples } = first;
    const again = await pipelineRig({ rules: [drift], records, samples, startMs: after(49), resumes });
    await again.play(flow(10_400, 50, 110), after(112));
    expect((await records.alarmJournal(ALL)).map(({ alarm, code }) => [alarm, code])).toEqual(signalled);
  });

  it('does not learn anew after a note', async () => {
    expect(await told(mark('note', null))).toEqual(DRIFTED);
  });
});
