import { describe, expect, it } from 'vitest';
import type { AlarmRule } from '#server/contract/alarm-rule.ts';
import type { Reading } from '#server/contract/reading.ts';
import { conditionRule, stopRule } from '#tests/alarms/rules.ts';
import { reading, steady } from '#tests/line/demo-readings.ts';
import { after, OVERFED, OVERFED_RULE, pipelineRig } from '#tests/pipeline/pipeline-rig.ts';

const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const flow = (value: number, fromS: number, toS: number) =>
  steady('s.pit.flow', value, { fromMs: after(fromS), toMs: after(toS) });

/** Plays some readings, stands, and plays the rest with a server that begins anew on what the first one kept. */
async function restarted(
  rules: readonly AlarmRule[],
  parts: {
    readonly before: readonly Reading[];
    readonly later: readonly Reading[];
    readonly stopS: number;
    readonly startS: number;
  },
) {
  const first = await pipelineRig({ rules });
  await first.play(parts.before, after(parts.stopS));
  const { records, samples } = first;
  const second = await pipelineRig({
    rules,
    records,
    samples,
    standing: await records.standingAlarms(),
    startMs: after(parts.startS),
    resumes: true,
  });
  await second.play(parts.later, after(parts.startS + 60));
  const journal = await records.alarmJournal(ALL);
  return journal.map(({ alarm, to, timeMs }) => [alarm, to, (timeMs - after(0)) / 1000]);
}

const slow = { ...OVERFED_RULE, onDelayMs: 10_000, offDelayMs: 5000 };

describe('a restart in a running delay', () => {
  it('goes on where it was: the time in which the server stood is left out', async () => {
    // By hand: overfed from 20 s, known until 26 s, then again from 31 s: 6 s of 10 had passed, so it is 35 s.
    const journal = await restarted([slow], {
      before: [...flow(10_000, 0, 19), ...flow(13_000, 20, 26)],
      stopS: 27,
      later: flow(13_000, 31, 60),
      startS: 30.5,
    });
    expect(journal).toEqual([[OVERFED, 'unacknowledged', 35]]);
  });

  it('forgets the delay when the input says so afterwards', async () => {
    const journal = await restarted([slow], {
      before: [...flow(10_000, 0, 19), ...flow(13_000, 20, 26)],
      stopS: 27,
      later: [...flow(10_000, 31, 31), ...flow(13_000, 32, 40), ...flow(10_000, 41, 60)],
      startS: 30.5,
    });
    expect(journal).toEqual([]);
  });

  it('goes on with the delay of a return, and does not raise again what stands', async () => {
    // By hand: raised at 20 + 10 s, back from 40 s, known until 42 s and again from 46 s: 2 of 5 s had passed.
    const journal = await restarted([slow], {
      before: [...flow(10_000, 0, 19), ...flow(13_000, 20, 39), ...flow(10_000, 40, 42)],
      stopS: 43,
      later: flow(10_000, 46, 80),
      startS: 45,
    });
    expect(journal).toEqual([
      [OVERFED, 'unacknowledged', 30],
      [OVERFED, 'returned-unacknowledged', 49],
    ]);
  });

  it('begins anew after more than a minute', async () => {
    const journal = await restarted([slow], {
      before: [...flow(10_000, 0, 19), ...flow(13_000, 20, 26)],
      stopS: 27,
      later: flow(13_000, 91, 130),
      startS: 90,
    });
    expect(journal).toEqual([[OVERFED, 'unacknowledged', 101]]);
  });

  it('leaves what stands beyond its limit less deadband as it is', async () => {
    const journal = await restarted([slow], {
      // Back across the limit, not across limit less deadband: the alarm stands on.
      before: [...flow(10_000, 0, 19), ...flow(13_000, 20, 40), ...flow(11_950, 41, 60)],
      stopS: 61,
      later: flow(11_950, 65, 110),
      startS: 64,
    });
    expect(journal).toEqual([[OVERFED, 'unacknowledged', 30]]);
  });

  it('counts a contact that has not moved since as having stood all the time', async () => {
    const plugged = conditionRule({
      id: 's.pit.plugged',
      line: 's',
      when: [{ subject: 's.drum.pump', is: 'on' }],
      onDelayMs: 8000,
    });
    const on = reading('s.drum.pump', after(20), 1);
    const journal = await restarted([plugged], {
      before: [reading('s.drum.pump', after(5), 0), on, ...flow(1, 0, 22)],
      stopS: 23,
      later: [{ ...on, arrivalMs: after(26.1) }],
      startS: 26,
    });
    expect(journal).toEqual([['s.pit.plugged', 'unacknowledged', 28]]);
  });

  it('tells a drive that stopped while the server stood', async () => {
    const rule = { ...stopRule('drum', { subject: 's.drum.pump' }), id: 's.drum.stopped', line: 's' };
    const journal = await restarted([rule], {
      before: steady('s.drum.pump', 1, { fromMs: after(0), toMs: after(20) }),
      stopS: 21,
      later: [reading('s.drum.pump', after(24), 0)],
      startS: 25,
    });
    expect(journal).toEqual([['s.drum.stopped', 'unacknowledged', 24]]);
  });
});

describe('a change that was recorded and not journalled', () => {
  it('is told after the restart, with the time at which it came', async () => {
    const sudden = { ...OVERFED_RULE };
    const first = await pipelineRig({ rules: [sudden] });
    await first.play([...flow(10_000, 0, 19), ...flow(13_000, 20, 21)], after(22));
    // As after a kill: the readings are in the history, the journal has not got the alarm.
    const second = await pipelineRig({
      rules: [sudden],
      samples: first.samples,
      startMs: after(24),
      resumes: true,
    });
    await second.play(flow(13_000, 25, 30), after(31));
    const [line] = await second.records.alarmJournal(ALL);
    expect(line).toMatchObject({ alarm: OVERFED, to: 'unacknowledged' });
    expect(second.updates.flatMap(({ alarms }) => alarms)[0]).toMatchObject({ raisedMs: after(20) });
  });
});
