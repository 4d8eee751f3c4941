import { describe, expect, it } from 'vitest';
import type { AlarmTransition } from '#server/contract/alarm-message.ts';
import { measuresOf } from '#server/study/alarm-measures.ts';
import { inTurn } from '#server/study/in-turn.ts';
import { shiftMeasuresOf } from '#server/study/shift-measures.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { aTransition, SHIFT_START_MS } from '#tests/support/record-builders.ts';

const HOUR = 3_600_000;
const at = (hour: number) => SHIFT_START_MS + hour * HOUR;
type Step = readonly [hour: number, from: AlarmTransition['from'], to: AlarmTransition['to']];

async function journalled(alarms: Readonly<Record<string, readonly Step[]>>) {
  const records = memoryRecordStore();
  for (const [alarm, steps] of Object.entries(alarms)) {
    await records.journalAlarms(
      steps.map(([hour, from, to]) => aTransition({ alarm, timeMs: at(hour), from, to })),
      [],
    );
  }
  return records;
}

describe('the numbers of a time', () => {
  it('count as stale what stood for more than a day at its end, whatever came later', async () => {
    const records = await journalled({
      // Stands from the first hour, acknowledged, until long after.
      stale: [
        [1, 'normal', 'unacknowledged'],
        [2, 'unacknowledged', 'acknowledged'],
        [40, 'acknowledged', 'normal'],
      ],
      // Came back within the last day.
      again: [
        [1, 'normal', 'unacknowledged'],
        [20, 'unacknowledged', 'returned-unacknowledged'],
        [21, 'returned-unacknowledged', 'unacknowledged'],
      ],
      shelved: [
        [1, 'normal', 'unacknowledged'],
        [3, 'unacknowledged', 'shelved'],
      ],
      young: [[10, 'normal', 'unacknowledged']],
    });
    const stale = async (fromH: number, toH: number) =>
      (await measuresOf(records, { fromMs: at(fromH), toMs: at(toH) }, null)).stale;
    expect(await stale(0, 30)).toEqual(['stale']);
    // A short time at the end of the same day knows it as well.
    expect(await stale(29, 30)).toEqual(['stale']);
    expect(await stale(0, 24)).toEqual([]);
    expect(await stale(0, 41)).toEqual(['young']);
  });

  it('are made from a journal of any length', async () => {
    const many = Array.from({ length: 2600 }, (_, index): Step => [index / 1000, 'normal', 'unacknowledged']);
    const records = await journalled({ busy: many });
    const { annunciations, topTenRatio, floods } = await measuresOf(
      records,
      { fromMs: at(0), toMs: at(3) },
      null,
    );
    expect([annunciations, topTenRatio, floods.length]).toEqual([2600, 1, 1]);
  });
});

describe('the numbers of shifts', () => {
  it('are refused for more shifts than can be read at a time', async () => {
    const records = memoryRecordStore();
    for (let hour = 0; hour <= 401; hour += 1) {
      const by = { actor: { id: 'calendar', role: 'engineer' } as const, timeMs: at(hour) };
      await records.startShift('line-1', `shift ${hour}`, by);
    }
    await expect(shiftMeasuresOf(records, { fromMs: at(0), toMs: at(500) }, at(402))).rejects.toThrow(
      'REQUEST_INVALID query shifts: got 402, expected <= 400; ask for a shorter time',
    );
  });
});

describe('work in turn', () => {
  it('runs one after the other, and goes on after one that fails', async () => {
    const turn = inTurn(3);
    const said: string[] = [];
    const work = (name: string, fails = false) =>
      turn(async () => {
        said.push(`${name} begins`);
        await Promise.resolve();
        said.push(`${name} ends`);
        if (fails) throw new Error(name);
        return name;
      });
    const answers = await Promise.allSettled([work('one'), work('two', true), work('three')]);
    expect(answers.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    expect(said).toEqual(['one', 'two', 'three'].flatMap((name) => [`${name} begins`, `${name} ends`]));
  });

  it('is refused when too much waits already, and taken again afterwards', async () => {
    const turn = inTurn(2);
    const quick = () => Promise.resolve('done');
    const waiting = [turn(quick), turn(quick)];
    await expect(turn(quick)).rejects.toThrow(
      'REQUEST_BUSY replays under way: got 2, expected < 2; ask again when one of them has ended, or use npm run replay-alarms',
    );
    expect(await Promise.all(waiting)).toEqual(['done', 'done']);
    expect(await turn(quick)).toBe('done');
  });
});
