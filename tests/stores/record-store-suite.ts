import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { JournalEntry } from '#server/contract/alarm-journal.ts';
import type { RecordStore } from '#server/ports/record-store.ts';
import {
  aBaseline,
  aFindingEntry,
  aHandSample,
  aLot,
  aMark,
  anAlarm,
  aTransition,
  MINUTE_MS,
  said,
  SHIFT_START_MS,
} from '#tests/support/record-builders.ts';

/** Minutes from the start of the shift, the second exclusive. */
const minutes = (from: number, to: number) => ({
  fromMs: SHIFT_START_MS + from * MINUTE_MS,
  toMs: SHIFT_START_MS + to * MINUTE_MS,
});
const atMinute = (minute: number) => SHIFT_START_MS + minute * MINUTE_MS;
const EVER = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };

/** What every store of records promises; `open` gives an empty one each time. */
export function recordStoreSuite(name: string, open: () => RecordStore): void {
  describe(`${name} as a record store`, () => {
    let store: RecordStore;

    beforeEach(() => {
      store = open();
    });
    afterEach(async () => {
      await store.close();
    });

    it('keeps every baseline of a machine, the newest beside the ones before it', async () => {
      const first = await store.writeBaseline(aBaseline(), said(0));
      const reason = 'bearing changed';
      const second = await store.writeBaseline(aBaseline({ timeMs: atMinute(60), reason }), said(61, 'Ben'));
      expect(first).toEqual({
        ...aBaseline(),
        id: first.id,
        writtenBy: said(0).actor,
        writtenMs: atMinute(0),
      });
      expect(second.id).toBeGreaterThan(first.id);
      expect(await store.baselines(EVER)).toEqual([first, second]);
      expect(await store.baselines(minutes(1, 61))).toEqual([second]);
    });

    it('keeps what was found at a machine and when it was over', async () => {
      const opened = await store.writeFinding(aFindingEntry(), said(0));
      const closing = aFindingEntry({ timeMs: atMinute(30), what: 'closed', finding: null });
      const closed = await store.writeFinding(closing, said(30));
      expect(await store.findings(EVER)).toEqual([opened, closed]);
      expect(await store.findings({ ...EVER, after: { timeMs: opened.timeMs, id: opened.id } })).toEqual([
        closed,
      ]);
    });

    it('starts a lot with all that was said of it, who said it and when', async () => {
      const lot = await store.startLot(aLot(), said(5));
      const { actor, timeMs } = said(5);
      expect(lot).toEqual({
        ...aLot(),
        id: lot.id,
        writtenBy: actor,
        writtenMs: timeMs,
        startedMs: timeMs,
        endedMs: null,
      });
      expect(await store.runningLots()).toEqual([lot]);
    });

    it('ends the running lot of a line at the instant at which the next one starts, and no other line’s', async () => {
      const first = await store.startLot(aLot(), said(0));
      const elsewhere = await store.startLot(aLot({ line: 'line-2' }), said(1));
      const next = await store.startLot(aLot({ number: 'QM-0418' }), said(90, 'Ben'));
      expect(await store.lots(EVER)).toEqual([{ ...first, endedMs: next.startedMs }, elsewhere, next]);
      expect(await store.runningLots()).toEqual([elsewhere, next]);
    });

    it('ends a lot once, keeping who wrote its start, and answers null when none is running', async () => {
      const lot = await store.startLot(aLot(), said(0, 'Ada'));
      expect(await store.endLot('line-1', said(60, 'Ben'))).toEqual({ ...lot, endedMs: atMinute(60) });
      expect(await store.endLot('line-1', said(61))).toBeNull();
      expect(await store.endLot('no-such-line', said(61))).toBeNull();
      expect(await store.runningLots()).toEqual([]);
    });

    it('never lets a lot end before it began, even when the clock was set back', async () => {
      await store.startLot(aLot(), said(60));
      const next = await store.startLot(aLot({ number: 'QM-0418' }), said(10));
      expect(next).toMatchObject({ startedMs: atMinute(60), writtenMs: atMinute(10) });
      const [first] = await store.lots(EVER);
      expect(first).toMatchObject({ startedMs: atMinute(60), endedMs: atMinute(60) });
    });

    it('finds the lots that ran at some time in a range: its start counts, its end does not', async () => {
      await store.startLot(aLot({ number: 'A' }), said(0));
      await store.startLot(aLot({ number: 'B' }), said(60));
      await store.startLot(aLot({ number: 'C' }), said(120));
      const numbers = async (from: number, to: number) =>
        (await store.lots(minutes(from, to))).map((lot) => lot.number);
      expect(await numbers(60, 120)).toEqual(['B']);
      expect(await numbers(59, 121)).toEqual(['A', 'B', 'C']);
      expect(await numbers(500, 501)).toEqual(['C']);
      expect(await numbers(-10, 0)).toEqual([]);
    });

    it('starts a shift, ends the one before it, and knows which are running', async () => {
      const early = await store.startShift('line-1', 'early', said(0));
      const late = await store.startShift('line-1', 'late', said(480, 'Ben'));
      expect(late).toMatchObject({ line: 'line-1', name: 'late', startedMs: atMinute(480), endedMs: null });
      expect(await store.shifts(minutes(0, 10))).toEqual([{ ...early, endedMs: atMinute(480) }]);
      expect(await store.runningShifts()).toEqual([late]);
    });

    it('keeps marks and answers them by the time they speak of, not by when they were written', async () => {
      const later = await store.writeMark(aMark({ timeMs: atMinute(30), text: 'second' }), said(31));
      const earlier = await store.writeMark(aMark({ timeMs: atMinute(10), machine: null }), said(32));
      expect(await store.marks(minutes(0, 60))).toEqual([earlier, later]);
      expect(await store.marks(minutes(10, 30))).toEqual([earlier]);
      expect(later).toMatchObject({ writtenBy: said(31).actor, writtenMs: atMinute(31) });
    });

    it('keeps hand samples with every result, by when they were taken', async () => {
      const results = {
        moisture: { value: 0.122, unit: '1' as const },
        'test-weight': { value: 72.5, unit: 'kg/hL' as const },
      };
      const taken = await store.recordHandSample(aHandSample({ results, takenMs: atMinute(-1) }), said(3));
      const week = await store.recordHandSample(aHandSample({ lot: null, note: 'germination' }), said(9));
      expect(taken.results).toEqual(results);
      expect(await store.handSamples(minutes(-60, 60))).toEqual([taken, week]);
      expect(await store.handSamples(minutes(0, 60))).toEqual([week]);
    });

    it('journals alarms in ascending time, those of one instant in the order in which they came', async () => {
      const stop = aTransition({ timeMs: atMinute(2) });
      const feed = aTransition({ timeMs: atMinute(1), alarm: 'line-1.line.feed-rate', code: 'low' });
      const back = aTransition({
        timeMs: atMinute(2),
        from: 'unacknowledged',
        to: 'acknowledged',
        by: 'Ada',
      });
      await store.journalAlarms([stop, feed], []);
      await store.journalAlarms([back], []);
      expect(await store.alarmJournal(minutes(0, 60))).toEqual([feed, stop, back]);
      expect(await store.alarmJournal(minutes(0, 2))).toEqual([feed]);
    });

    it('answers the alarm journal page by page, either way, without leaving out or repeating an entry', async () => {
      const entries = [3, 1, 2, 2, 2, 5].map((minute, index) =>
        aTransition({ timeMs: atMinute(minute), by: `person ${index}` }),
      );
      await store.journalAlarms(entries, []);
      const inOrder = await store.alarmJournal(EVER);
      for (const order of ['oldest-first', 'newest-first'] as const) {
        const read: JournalEntry[] = [];
        for (let pages = 0; pages < 4; pages += 1) {
          const after = read.at(-1) ?? null;
          read.push(...(await store.alarmEntries({ ...EVER, order, after, limit: 2 })));
        }
        expect(order === 'oldest-first' ? read : read.toReversed()).toMatchObject(inOrder);
        expect(new Set(read.map(({ id }) => id)).size).toBe(entries.length);
      }
      const part = { ...minutes(2, 3), order: 'newest-first', after: null, limit: 10 } as const;
      expect((await store.alarmEntries(part)).map(({ by }) => by)).toEqual([
        'person 4',
        'person 3',
        'person 2',
      ]);
    });

    it('finds the last entry of each alarm before an instant', async () => {
      const feed = aTransition({ alarm: 'line-1.line.feed-rate', timeMs: atMinute(1) });
      const stop = aTransition({ timeMs: atMinute(2) });
      const back = aTransition({ timeMs: atMinute(4), from: 'unacknowledged', to: 'normal' });
      await store.journalAlarms([back, stop, feed], []);
      const lastBefore = async (minute: number) =>
        (await store.lastAlarmEntries(atMinute(minute))).map(({ alarm, to }) => [alarm, to]);
      expect(await lastBefore(1)).toEqual([]);
      expect(await lastBefore(4)).toEqual([
        [feed.alarm, 'unacknowledged'],
        [stop.alarm, 'unacknowledged'],
      ]);
      expect(await lastBefore(5)).toEqual([
        [feed.alarm, 'unacknowledged'],
        [stop.alarm, 'normal'],
      ]);
    });

    it('keeps why a person withheld an alarm and until when', async () => {
      const shelving = {
        to: 'shelved',
        by: 'Ada',
        reason: 'probe is being changed',
        untilMs: atMinute(60),
      } as const;
      const away = { to: 'out-of-service', by: 'Bo', reason: 'overhaul' } as const;
      const shelved = {
        by: 'Ada',
        timeMs: atMinute(0),
        untilMs: atMinute(60),
        isOneShot: true,
        reason: 'probe',
      };
      const outOfService = { by: 'Bo', timeMs: atMinute(1), reason: 'overhaul' };
      const alarm = anAlarm({ state: 'out-of-service', shelved, outOfService, card: 'machine-stopped' });
      await store.journalAlarms([aTransition(shelving), aTransition(away)], [alarm]);
      expect(await store.alarmJournal(EVER)).toMatchObject([shelving, away]);
      expect(await store.standingAlarms()).toEqual([alarm]);
    });

    it('knows how each alarm stands after the newest word on it', async () => {
      const feed = anAlarm({ id: 'line-1.line.feed-rate', code: 'low', raisedMs: atMinute(-5) });
      await store.journalAlarms([], [anAlarm(), feed]);
      await store.journalAlarms([], [anAlarm({ state: 'acknowledged' })]);
      expect(await store.standingAlarms()).toEqual([feed, anAlarm({ state: 'acknowledged' })]);
    });

    it('forgets an alarm that is normal again, whether the transition or the standing says so', async () => {
      const feed = anAlarm({ id: 'line-1.line.feed-rate' });
      await store.journalAlarms([], [anAlarm(), feed]);
      await store.journalAlarms([aTransition({ from: 'acknowledged', to: 'normal' })], []);
      expect(await store.standingAlarms()).toEqual([feed]);
      await store.journalAlarms([], [{ ...feed, state: 'normal' }]);
      expect(await store.standingAlarms()).toEqual([]);
    });

    it('keeps an alarm standing that went to normal and came back within one write', async () => {
      const gone = aTransition({ from: 'acknowledged', to: 'normal' });
      await store.journalAlarms([gone, aTransition()], [anAlarm()]);
      expect(await store.standingAlarms()).toEqual([anAlarm()]);
    });

    it('journals every command, done or refused, with who and when', async () => {
      const acknowledge = { kind: 'acknowledge-alarm' as const, alarm: 'line-1.destoner.stopped' };
      const endLot = { kind: 'end-lot' as const, line: 'line-1' };
      await store.journalCommand(acknowledge, said(1), null);
      await store.journalCommand(endLot, said(2, 'Ben'), 'COMMAND_REFUSED lot: got none');
      const journal = await store.commandJournal(minutes(0, 60));
      expect(journal.map(({ by, command, refused }) => ({ by, command, refused }))).toEqual([
        { by: said(1), command: acknowledge, refused: null },
        { by: said(2, 'Ben'), command: endLot, refused: 'COMMAND_REFUSED lot: got none' },
      ]);
      expect(await store.commandJournal(minutes(0, 2))).toHaveLength(1);
    });

    it('hands out copies: changing an answer changes nothing that is kept', async () => {
      const given = aLot();
      const lot = await store.startLot(given, said(0));
      Object.assign(given, { number: 'changed' });
      Object.assign(lot, { number: 'changed' });
      expect((await store.runningLots())[0]?.number).toBe('QM-0417');
    });

    it('rejects once closed, and closes again without complaint', async () => {
      await store.close();
      await expect(store.runningLots()).rejects.toThrow(/closed|not open/);
      await expect(store.close()).resolves.toBeUndefined();
    });
  });
}
