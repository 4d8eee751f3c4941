import { describe, expect, it } from 'vitest';
import {
  ACKNOWLEDGEMENT,
  after,
  fillingRecords,
  OVERFED,
  overfed,
  pipelineRig,
  running,
  START_MS,
} from './pipeline-rig.ts';

const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

describe('records that fail', () => {
  it('cost no alarm: it is told at once and journalled when there is room again', async () => {
    const { disk, records } = fillingRecords();
    const rig = await pipelineRig({ records });
    await rig.tickAt(after(0));
    disk.isFull = true;
    await rig.play(overfed(0, 3), after(3));
    expect(rig.updates.flatMap(({ alarms }) => alarms.map(({ state }) => state))).toEqual(['unacknowledged']);
    expect(await records.alarmJournal(ALL)).toEqual([]);
    expect(rig.log).toEqual([
      'RECORDS_UNWRITABLE records: got disk full, expected them to be kept; tried again each tick, the watch goes on',
    ]);
    disk.isFull = false;
    await rig.tickAt(after(4));
    expect((await records.alarmJournal(ALL)).map(({ to }) => to)).toEqual(['unacknowledged']);
    expect((await records.standingAlarms()).map(({ id }) => id)).toEqual([OVERFED]);
    // Once each way, however many ticks it lasted.
    expect(rig.log.slice(1)).toEqual(['records are kept again, what waited too']);
  });

  it('are told to whoever acknowledges, and the entry is made later', async () => {
    const { disk, records } = fillingRecords();
    const rig = await pipelineRig({ records });
    await rig.play(overfed(0, 3), after(3));
    disk.isFull = true;
    const answer = rig.commands.carryOut(ACKNOWLEDGEMENT);
    await rig.tickAt(after(4));
    expect(await answer).toEqual({
      done: false,
      refused:
        'COMMAND_REFUSED acknowledge-alarm: got disk full, expected an entry in the journal; it counts now and is entered once the disk takes it',
    });
    disk.isFull = false;
    await rig.tickAt(after(5));
    expect((await records.alarmJournal(ALL)).map(({ to, by }) => [to, by]).at(-1)).toEqual([
      'acknowledged',
      'Ada',
    ]);
  });

  it('at a change of shift leave the figures going, and the shift begins when it was due', async () => {
    const { disk, records } = fillingRecords();
    const shifts = [{ name: 'Early', startsMinute: 360 }];
    const rig = await pipelineRig({ records, shifts });
    disk.isFull = true;
    await rig.play(running({ fromMs: START_MS, toMs: after(60) }), after(60));
    expect(rig.shown('s.line.feed-rate')?.value).toBeCloseTo(10_000, 6);
    expect(rig.updates.every((update) => update.lots === null && update.shifts === null)).toBe(true);
    disk.isFull = false;
    await rig.tickAt(after(61));
    expect((await records.runningShifts()).map(({ name, startedMs }) => [name, startedMs])).toEqual([
      ['Early', START_MS],
    ]);
    expect(rig.updates.at(-1)?.shifts).toHaveLength(1);
  });
});

describe('shifts', () => {
  const shifts = [
    { name: 'Early', startsMinute: 360 },
    { name: 'Late', startsMinute: 840 },
  ];
  const hours = (count: number) => START_MS + count * 3_600_000;

  it('follow the calendar over a boundary, and are told when they change', async () => {
    const rig = await pipelineRig({ shifts });
    for (const timeMs of [hours(7.9), hours(8) - 1, hours(8), hours(8.1)]) await rig.tickAt(timeMs);
    const kept = await rig.records.shifts(ALL);
    expect(kept.map(({ name, startedMs, endedMs }) => [name, startedMs, endedMs])).toEqual([
      ['Early', START_MS, hours(8)],
      ['Late', hours(8), null],
    ]);
    expect(rig.updates.map((update) => update.shifts?.map(({ name }) => name) ?? null)).toEqual([
      ['Early'],
      null,
      ['Late'],
      null,
    ]);
  });

  it('go on over a restart instead of starting again', async () => {
    const before = await pipelineRig({ shifts });
    await before.tickAt(hours(1));
    const rig = await pipelineRig({ shifts, records: before.records });
    await rig.tickAt(hours(2));
    expect(await rig.records.shifts(ALL)).toHaveLength(1);
    expect(rig.updates[0]?.shifts?.map(({ name }) => name)).toEqual(['Early']);
  });

  it('start anew on the next day though the shift has the same name', async () => {
    const rig = await pipelineRig({ shifts: [{ name: 'Day', startsMinute: 360 }] });
    await rig.tickAt(hours(1));
    await rig.tickAt(hours(25));
    expect((await rig.records.shifts(ALL)).map(({ startedMs }) => startedMs)).toEqual([hours(0), hours(24)]);
  });
});
