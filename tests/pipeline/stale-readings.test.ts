import { describe, expect, it } from 'vitest';
import { withStale } from '#server/pipeline/stale-readings.ts';
import { conditionRule } from '#tests/alarms/rules.ts';
import { badReading, reading, steady } from '#tests/line/demo-readings.ts';
import { after, OVERFED, OVERFED_RULE, pipelineRig } from './pipeline-rig.ts';

const AGES = new Map([['s.pit.flow', 10_000]]);
const frameOf = (endMs: number, last: ReturnType<typeof reading>) => ({
  endMs,
  tickMs: 250,
  readings: [],
  latest: new Map([[last.tag, last]]),
});

describe('withStale', () => {
  const last = reading('s.pit.flow', 1000, 5);

  it('says of a tag once, one ms after its allowed age, that nothing is known of it', () => {
    const stale = [11_000, 11_250, 11_500].flatMap((endMs) => withStale(frameOf(endMs, last), AGES).readings);
    expect(stale).toEqual([
      { tag: 's.pit.flow', sourceTimeMs: 11_001, arrivalMs: 11_250, value: null, quality: 'stale' },
    ]);
  });

  it('leaves alone what is bad already, what is unknown and a frame without length', () => {
    expect(withStale(frameOf(11_250, badReading('s.pit.flow', 1000)), AGES).readings).toEqual([]);
    expect(withStale({ ...frameOf(11_250, last), latest: new Map() }, AGES).readings).toEqual([]);
    expect(withStale({ ...frameOf(11_250, last), tickMs: 0 }, AGES).readings).toEqual([]);
  });
});

describe('a tag that falls silent', () => {
  const flow = (value: number, fromS: number, toS: number) =>
    steady('s.pit.flow', value, { fromMs: after(fromS), toMs: after(toS) });
  const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

  it('stops the clock of a delay: it neither raises nor clears', async () => {
    const slow = { ...OVERFED_RULE, onDelayMs: 15_000 };
    const rig = await pipelineRig({ rules: [slow] });
    await rig.play([...flow(10_000, 0, 9), ...flow(13_000, 10, 12)], after(60));
    expect(await rig.records.alarmJournal(ALL)).toEqual([]);
    await rig.play(flow(13_000, 60, 80), after(80));
    // By hand: 12.001 s of the 15 had passed when it was too old, so 2.999 s after it spoke again.
    expect(await rig.records.alarmJournal(ALL)).toMatchObject([{ alarm: OVERFED, timeMs: after(62.999) }]);
  });

  it('is told by a rule on its quality, and told as back', async () => {
    const id = 's.pit.flow-bad';
    const quality = {
      id,
      line: 's',
      machine: 'pit',
      card: 'low',
      kind: 'quality',
      subject: 's.pit.flow',
    } as const;
    const rig = await pipelineRig({ rules: [quality] });
    await rig.play(flow(10_000, 0, 9), after(30));
    await rig.play(flow(10_000, 31, 33), after(34));
    const told = (await rig.records.alarmJournal(ALL)).map(({ to, timeMs, params }) => [to, timeMs, params]);
    expect(told).toEqual([
      ['unacknowledged', after(19.001), { because: 'tag-stale' }],
      ['returned-unacknowledged', after(31), { because: 'tag-stale' }],
    ]);
  });

  it('holds a contact as it was: an alarm on it stands', async () => {
    const plugged = conditionRule({
      id: 's.pit.plugged',
      line: 's',
      when: [{ subject: 's.drum.pump', is: 'on' }],
    });
    const rig = await pipelineRig({ rules: [plugged] });
    await rig.play([reading('s.drum.pump', after(5), 1)], after(40));
    const shown = rig.updates.flatMap(({ alarms }) => alarms);
    expect(shown.map(({ state, heldBecause }) => [state, heldBecause])).toEqual([
      ['unacknowledged', undefined],
      ['unacknowledged', 'tag-stale'],
    ]);
  });
});
