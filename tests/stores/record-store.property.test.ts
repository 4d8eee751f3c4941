import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, it } from 'vitest';
import { ALARM_STATES } from '#server/contract/alarm-message.ts';
import type { RecordRange, RecordStore, TimeRange } from '#server/ports/record-store.ts';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { aHandSample, aLot, aMark, anAlarm, aTransition, said } from '#tests/support/record-builders.ts';

const folder = mkdtempSync(join(tmpdir(), 'records-'));
let opened = 0;
afterAll(() => rmSync(folder, { recursive: true }));

type Act = (store: RecordStore) => Promise<unknown>;

const line = fc.constantFrom('line-1', 'line-2');
const minute = fc.integer({ min: -20, max: 20 });
const state = fc.constantFrom(...ALARM_STATES);
const text = fc.string({ minLength: 1, maxLength: 30, unit: 'grapheme' });
const range = fc
  .tuple(minute, minute)
  .map(([from, to]) => ({ fromMs: said(from).timeMs, toMs: said(to).timeMs }));

/** Anything that can be asked of a store, in any order, with clocks that jump. */
const act: fc.Arbitrary<Act> = fc.oneof(
  fc.tuple(line, minute, text).map(
    ([on, at, number]) =>
      (store: RecordStore) =>
        store.startLot(aLot({ line: on, number }), said(at)),
  ),
  fc.tuple(line, minute).map(
    ([on, at]) =>
      (store: RecordStore) =>
        store.endLot(on, said(at)),
  ),
  fc.tuple(line, text, minute).map(
    ([on, name, at]) =>
      (store: RecordStore) =>
        store.startShift(on, name, said(at, name)),
  ),
  fc.tuple(minute, text, minute).map(
    ([timeMs, words, at]) =>
      (store: RecordStore) =>
        store.writeMark(aMark({ timeMs: said(timeMs).timeMs, text: words }), said(at)),
  ),
  fc.tuple(minute, fc.double({ noNaN: true, noDefaultInfinity: true })).map(
    ([at, value]) =>
      (store: RecordStore) =>
        store.recordHandSample(
          aHandSample({ takenMs: said(at).timeMs, results: { m: { value: value + 0, unit: '1' } } }),
          said(at),
        ),
  ),
  fc.tuple(text, minute, state, state).map(
    ([id, at, to, stands]) =>
      (store: RecordStore) =>
        store.journalAlarms(
          [aTransition({ alarm: id, timeMs: said(at).timeMs, to })],
          [anAlarm({ id, state: stands, raisedMs: said(at).timeMs })],
        ),
  ),
  range.map((asked) => (store: RecordStore) => answers(store, asked)),
);

function answers(store: RecordStore, asked: { readonly fromMs: number; readonly toMs: number }) {
  return Promise.all([
    store.lots(asked),
    store.shifts(asked),
    store.marks(asked),
    store.handSamples(asked),
    store.alarmJournal(asked),
    store.standingAlarms(),
    store.runningLots(),
    store.runningShifts(),
  ]);
}

type Placed = { readonly id: number };
type Reader<Entry> = (asked: RecordRange) => Promise<readonly Entry[]>;

/** All that a store answers when it is asked for three at a time. */
async function inPages<Entry extends Placed>(
  read: Reader<Entry>,
  asked: TimeRange,
  timeMsOf: (entry: Entry) => number,
): Promise<readonly Entry[]> {
  const all: Entry[] = [];
  for (;;) {
    const last = all.at(-1);
    const after = last === undefined ? {} : { after: { timeMs: timeMsOf(last), id: last.id } };
    const page = await read({ ...asked, ...after, limit: 3 });
    all.push(...page);
    if (page.length < 3) return all;
  }
}

async function expectPagesToBeAll(store: RecordStore, asked: TimeRange): Promise<void> {
  const started = ({ startedMs }: { startedMs: number }) => startedMs;
  expect(await inPages(store.lots, asked, started)).toEqual(await store.lots(asked));
  expect(await inPages(store.shifts, asked, started)).toEqual(await store.shifts(asked));
  expect(await inPages(store.marks, asked, ({ timeMs }) => timeMs)).toEqual(await store.marks(asked));
  const samples = await inPages(store.handSamples, asked, ({ takenMs }) => takenMs);
  expect(samples).toEqual(await store.handSamples(asked));
}

describe('the SQLite file beside the store in memory', () => {
  it('answers the same to any sequence of writes and questions, and still does after being opened again', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(act, { maxLength: 25 }), async (acts) => {
        const file = join(folder, `${opened++}.sqlite`);
        const [kept, model] = [openRecordStore({ file }), memoryRecordStore()];
        for (const one of acts) expect(await one(kept)).toEqual(await one(model));
        await kept.close();
        const again = openRecordStore({ file });
        const ever = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
        expect(await answers(again, ever)).toEqual(await answers(model, ever));
        await expectPagesToBeAll(again, ever);
        await again.close();
      }),
      { numRuns: 60 },
    );
  });
});
