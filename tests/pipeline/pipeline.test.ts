import { describe, expect, it } from 'vitest';
import { STORED_REASON, STORED_STATUS } from '#server/contract/stored-status.ts';
import { reading, steady } from '#tests/line/demo-readings.ts';
import { smallSetup } from '#tests/line/small-line.ts';
import { anAlarm } from '#tests/support/record-builders.ts';
import {
  ACKNOWLEDGEMENT,
  after,
  link,
  OVERFED,
  overfed,
  pipelineRig,
  running,
  START_MS,
} from './pipeline-rig.ts';

const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

describe('a tick', () => {
  it('turns readings into figures that are told and kept, once a second, by hand', async () => {
    const rig = await pipelineRig();
    await rig.play(running({ fromMs: START_MS, toMs: after(90) }), after(90));
    expect(rig.shown('s.line.yield')?.value).toBeCloseTo(0.9, 9);
    expect(rig.shown('s.cleaner.reject-share')?.value).toBeCloseTo(0.04, 9);
    const known = (await rig.stored('s.line.yield')).filter(
      ([ms, value]) => ms > 60_000 && !Number.isNaN(value),
    );
    expect(known.length).toBeGreaterThanOrEqual(28);
    for (const [, value, status, reason] of known) {
      expect([value.toFixed(9), status, reason]).toEqual([
        '0.900000000',
        STORED_STATUS.good,
        STORED_REASON.none,
      ]);
    }
    expect(known.slice(1).map(([ms], at) => ms - (known[at]?.[0] ?? 0))).toEqual(
      known.slice(1).map(() => 1000),
    );
  });

  it('keeps each reading as it came, at the time at which the plant measured it', async () => {
    const rig = await pipelineRig();
    rig.pipeline.sink.readings([
      reading('s.pit.flow', after(1), 9500),
      { ...reading('s.pit.flow', after(2), null), quality: 'bad' },
    ]);
    await rig.tickAt(after(3));
    expect(await rig.stored('s.pit.flow')).toEqual([
      [1000, 9500, STORED_STATUS.good, STORED_REASON.none],
      [2000, NaN, STORED_STATUS.bad, STORED_REASON.none],
    ]);
    expect(rig.updates.at(-1)?.readings).toHaveLength(2);
  });

  it('keeps a reading that comes after its frame as late, and changes no figure that was told', async () => {
    const rig = await pipelineRig();
    await rig.play(running({ fromMs: START_MS, toMs: after(20) }), after(20));
    const before = await rig.stored('s.line.feed-rate');
    rig.pipeline.sink.readings([reading('s.pit.flow', after(5) + 500, 20_000)]);
    await rig.tickAt(after(20) + 250);
    expect((await rig.stored('s.pit.flow')).filter(([, , , reason]) => reason !== 0)).toEqual([
      [5500, 20_000, STORED_STATUS.good, STORED_REASON.late],
    ]);
    expect((await rig.stored('s.line.feed-rate')).slice(0, before.length)).toEqual(before);
    expect(rig.shown('s.line.feed-rate')?.value).toBeCloseTo(10_000, 6);
  });

  it('marks where nothing is known from, when a link was down and the plant keeps no history', async () => {
    const rig = await pipelineRig();
    rig.pipeline.sink.gap({ endpoint: 'plc', tags: ['s.pit.flow', 'unknown'], fromMs: after(7), toMs: null });
    await rig.tickAt(after(8));
    expect(await rig.stored('s.pit.flow')).toEqual([[7000, NaN, STORED_STATUS.gap, STORED_REASON.linkDown]]);
  });

  it('tells a link when it changes, and shows figures of a lost one as unknown', async () => {
    const rig = await pipelineRig();
    await rig.play(running({ fromMs: START_MS, toMs: after(20) }), after(20));
    rig.pipeline.sink.link(link({ state: 'lost', because: 'LINK_DOWN plc: ...' }));
    await rig.tickAt(after(21));
    await rig.tickAt(after(22));
    expect(rig.updates.slice(-2).map(({ links }) => links.map(({ state }) => state))).toEqual([['lost'], []]);
    expect(rig.shown('s.line.feed-rate')).toMatchObject({ value: null, because: 'link-down' });
  });

  it('waits for the slowest plant clock before it makes a frame', async () => {
    const rig = await pipelineRig();
    rig.pipeline.sink.link(link({ clockOffsetMs: -3000 }));
    const slow = steady('s.pit.flow', 10_000, { fromMs: after(-3), toMs: after(7) });
    await rig.play(
      slow.map((each) => ({ ...each, arrivalMs: each.sourceTimeMs + 3050 })),
      after(10),
    );
    expect((await rig.stored('s.pit.flow')).every(([, , , reason]) => reason === STORED_REASON.none)).toBe(
      true,
    );
    expect(rig.shown('s.line.feed-rate')?.value).toBeCloseTo(10_000, 6);
  });

  it('that is still at work lets the next one pass, whose readings wait', async () => {
    const rig = await pipelineRig();
    const first = rig.pipeline.tick();
    rig.pipeline.sink.readings([reading('s.pit.flow', after(0), 1)]);
    await Promise.all([first, rig.pipeline.tick()]);
    expect(rig.updates).toHaveLength(1);
    await rig.tickAt(after(1));
    expect(rig.updates).toHaveLength(2);
    expect(await rig.stored('s.pit.flow')).toHaveLength(1);
  });

  it('tells how recording stands at first and then only when it changes', async () => {
    const rig = await pipelineRig();
    await rig.tickAt(after(1));
    await rig.tickAt(after(2));
    expect(rig.updates.map(({ recording }) => recording?.isRecording ?? null)).toEqual([true, null]);
  });
});

describe('a figure that throws', () => {
  const setup = smallSetup();
  const line = {
    ...setup,
    plans: setup.plans.map((plan) =>
      plan.description.id === 's.line.yield'
        ? {
            ...plan,
            work: () => {
              throw new Error('a bug');
            },
          }
        : plan,
    ),
  };

  it('is unknown because of a fault, is logged once, and leaves the others and the readings alone', async () => {
    const rig = await pipelineRig({ line });
    await rig.play(running({ fromMs: START_MS, toMs: after(60) }), after(60));
    expect(rig.shown('s.line.yield')).toMatchObject({ value: null, because: 'fault' });
    expect(rig.shown('s.cleaner.reject-share')?.value).toBeCloseTo(0.04, 9);
    expect(await rig.stored('s.pit.flow')).toHaveLength(60);
    expect(rig.log).toHaveLength(1);
    expect(rig.log[0]).toMatch(
      /^FIGURE_FAULT s\.line\.yield: got Error: a bug\n[\s\S]*, expected a figure; it is unknown, the others go on$/,
    );
  });
});

describe('alarms in the pipeline', () => {
  it('that stood when the server stopped are told with the first tick, and only with that', async () => {
    const standing = [
      anAlarm({ id: OVERFED, line: 's', machine: 'pit', subject: 's.pit.flow', code: 'high', params: {} }),
    ];
    const rig = await pipelineRig({ standing });
    await rig.tickAt(after(1));
    await rig.tickAt(after(2));
    expect(rig.updates.map(({ alarms }) => alarms.map(({ id }) => id))).toEqual([[OVERFED], []]);
  });

  it('are journalled with the time of the plant and told in the same tick', async () => {
    const rig = await pipelineRig();
    await rig.play(overfed(0, 3), after(4));
    const journal = await rig.records.alarmJournal(ALL);
    expect(journal.map(({ alarm, from, to, timeMs }) => [alarm, from, to, timeMs])).toEqual([
      [OVERFED, 'normal', 'unacknowledged', START_MS],
    ]);
    expect(rig.updates.flatMap(({ alarms }) => alarms.map(({ state }) => state))).toEqual(['unacknowledged']);
  });

  it('have an acknowledgement in both journals before it is answered', async () => {
    const rig = await pipelineRig();
    await rig.play(overfed(0, 3), after(3));
    const found = rig.commands.carryOut(ACKNOWLEDGEMENT).then(async (result) => ({
      result,
      alarms: (await rig.records.alarmJournal(ALL)).map(({ to, by }) => [to, by]),
      commands: (await rig.records.commandJournal(ALL)).map(({ refused }) => refused),
    }));
    await rig.tickAt(after(4));
    expect(await found).toEqual({
      result: { done: true, recordId: null },
      alarms: [
        ['unacknowledged', null],
        ['acknowledged', 'Ada'],
      ],
      commands: [null],
    });
  });

  it('are acknowledged at once though no reading comes any more', async () => {
    const rig = await pipelineRig();
    await rig.play(overfed(0, 3), after(3));
    const answer = rig.commands.carryOut(ACKNOWLEDGEMENT);
    await rig.tickAt(after(3));
    expect(await answer).toEqual({ done: true, recordId: null });
    expect(rig.updates.at(-1)?.alarms.map(({ state }) => state)).toEqual(['acknowledged']);
  });
});

describe("the plant's own history", () => {
  it('is kept as filled in, and its figures are worked out once it has all come', async () => {
    const rig = await pipelineRig();
    const minute = running({ fromMs: after(-120), toMs: after(-1) });
    rig.pipeline.sink.backfill(minute);
    await rig.play(running({ fromMs: START_MS, toMs: after(5) }), after(5));
    const flow = await rig.stored('s.pit.flow');
    expect(flow.filter(([ms]) => ms < 0)).toHaveLength(120);
    expect(flow.every(([ms, , , reason]) => reason === (ms < 0 ? STORED_REASON.backfilled : 0))).toBe(true);
    const past = (await rig.stored('s.line.yield')).filter(
      ([ms, value]) => ms < -30_000 && !Number.isNaN(value),
    );
    expect(past.length).toBeGreaterThan(30);
    for (const [, value, , reason] of past) {
      expect([value.toFixed(9), reason]).toEqual(['0.900000000', STORED_REASON.backfilled]);
    }
  });
});
