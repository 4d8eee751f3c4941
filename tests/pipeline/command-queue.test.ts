import { describe, expect, it } from 'vitest';
import { alarmSetup, alarmsOfMachine } from '#server/alarms/alarm-setup.ts';
import { orderRefusal } from '#server/alarms/order-refusal.ts';
import { restoredAlarmState } from '#server/alarms/restored-alarm-state.ts';
import type { AlarmMessage } from '#server/contract/alarm-message.ts';
import type { AlarmRule } from '#server/contract/alarm-rule.ts';
import type { Command, CommandResult } from '#server/contract/commands.ts';
import { CommandQueue } from '#server/pipeline/command-queue.ts';
import type { Actor } from '#server/contract/records.ts';
import type { RecordStore } from '#server/ports/record-store.ts';
import { configurationOf } from '#tests/alarms/rules.ts';
import { memoryRecordStore } from '#tests/support/memory-record-store.ts';
import { aHandSample, aLot, aMark, anAlarm, SHIFT_START_MS } from '#tests/support/record-builders.ts';

const ALL = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const ada = { id: 'Ada', role: 'operator' } as const;
/** The plant's clock is a little behind ours. */
const PLANT_NOW_MS = SHIFT_START_MS - 40;

/** The rule of the alarm that the builders make, and another one of the same machine. */
const STOPPED: AlarmRule = {
  id: 'line-1.destoner.stopped',
  line: 'line-1',
  machine: 'destoner',
  card: 'high',
  kind: 'run-contact',
  subject: 'line-1.destoner.running',
};
const setup = alarmSetup(configurationOf([STOPPED, { ...STOPPED, id: 'line-1.destoner.again' }]), []);

function rig(alarms: readonly AlarmMessage[] = [], records: RecordStore = memoryRecordStore()) {
  const queue = new CommandQueue();
  const state = restoredAlarmState(setup, alarms);
  const work = () =>
    queue.work({
      records,
      nowMs: SHIFT_START_MS,
      plantNowMs: PLANT_NOW_MS,
      refusalOf: (order) => orderRefusal(setup, state, order),
      alarmsOf: (line, machine) => alarmsOfMachine(setup, line, machine),
      isLine: (id) => id === 'line-1',
      isCrop: (id) => id === 'soybean',
    });
  return {
    queue,
    records,
    work,
    async carriedOut(command: Command, actor: Actor = ada): Promise<CommandResult> {
      const answer = queue.carryOut({ actor, command });
      const { confirm } = await work();
      await confirm(null);
      return answer;
    },
  };
}

const alarm = anAlarm();
const SHELVED = {
  shelved: { by: 'Bo', timeMs: 0, untilMs: PLANT_NOW_MS + 1, isOneShot: false, reason: 'probe' },
};
const acknowledge = { kind: 'acknowledge-alarm', alarm: alarm.id } as const;

describe('a command', () => {
  it('waits for the next tick', async () => {
    const { queue, records, work } = rig();
    const answer = queue.carryOut({ actor: ada, command: { kind: 'start-lot', lot: aLot() } });
    expect(await records.runningLots()).toEqual([]);
    expect((await work()).haveLotsChanged).toBe(true);
    expect(await answer).toEqual({ done: true, recordId: 1 });
  });

  it('to start a lot records it with who and when', async () => {
    const { carriedOut, records } = rig();
    await carriedOut({ kind: 'start-lot', lot: aLot() });
    const [lot] = await records.runningLots();
    expect(lot).toMatchObject({ number: 'QM-0417', writtenBy: ada, startedMs: SHIFT_START_MS });
  });

  it('to end a lot ends the one that runs', async () => {
    const { carriedOut, records } = rig();
    await carriedOut({ kind: 'start-lot', lot: aLot() });
    expect(await carriedOut({ kind: 'end-lot', line: 'line-1' })).toEqual({ done: true, recordId: 1 });
    expect(await records.runningLots()).toEqual([]);
  });

  it('to write a mark or a hand sample records it, and leaves the lots as they are', async () => {
    const { carriedOut, queue, records, work } = rig();
    expect(await carriedOut({ kind: 'write-mark', mark: aMark() })).toEqual({ done: true, recordId: 1 });
    void queue.carryOut({ actor: ada, command: { kind: 'record-hand-sample', sample: aHandSample() } });
    expect((await work()).haveLotsChanged).toBe(false);
    expect([(await records.marks(ALL)).length, (await records.handSamples(ALL)).length]).toEqual([1, 1]);
  });

  it('to acknowledge is handed to the alarms and answered when that is confirmed', async () => {
    const { queue, records, work } = rig([alarm]);
    let answered: CommandResult | null = null;
    const answer = queue.carryOut({ actor: ada, command: acknowledge }).then((result) => (answered = result));
    const { orders, confirm } = await work();
    expect(orders).toEqual([{ kind: 'acknowledge', alarm: alarm.id, by: 'Ada', timeMs: PLANT_NOW_MS }]);
    expect(answered).toBeNull();
    await confirm(null);
    expect(await answer).toEqual({ done: true, recordId: null });
    expect(await records.commandJournal(ALL)).toHaveLength(1);
  });

  it('is journalled once, done or refused, and carried out in the order of asking', async () => {
    const { queue, records, work } = rig();
    const ask = (command: Command) => queue.carryOut({ actor: ada, command });
    const answers = [
      ask({ kind: 'start-lot', lot: aLot({ number: 'QM-1' }) }),
      ask({ kind: 'start-lot', lot: aLot({ number: 'QM-2' }) }),
      ask({ kind: 'end-lot', line: 'line-9' }),
    ];
    await work();
    expect((await Promise.all(answers)).map(({ done }) => done)).toEqual([true, true, false]);
    expect((await records.runningLots()).map(({ number }) => number)).toEqual(['QM-2']);
    const journal = await records.commandJournal(ALL);
    expect(journal.map(({ refused }) => refused === null)).toEqual([true, true, false]);
  });
});

describe('a command that does not fit', () => {
  it.each<{ what: string; command: Command; told: string }>([
    {
      what: 'a lot on an unknown line',
      command: { kind: 'start-lot', lot: aLot({ line: 'line-9' }) },
      told: 'COMMAND_REFUSED start-lot line: got line-9, expected a line of the configuration; nothing was changed',
    },
    {
      what: 'a lot of an unknown crop',
      command: { kind: 'start-lot', lot: aLot({ crop: 'rye' }) },
      told: 'COMMAND_REFUSED start-lot crop: got rye, expected a crop of the configuration; nothing was changed',
    },
    {
      what: 'the end of a lot where none runs',
      command: { kind: 'end-lot', line: 'line-1' },
      told: 'COMMAND_REFUSED end-lot line-1: got no running lot, expected a running lot; nothing was changed',
    },
    {
      what: 'the end of a lot on an unknown line',
      command: { kind: 'end-lot', line: 'line-9' },
      told: 'COMMAND_REFUSED end-lot line: got line-9, expected a line of the configuration; nothing was changed',
    },
    {
      what: 'a mark on an unknown line',
      command: { kind: 'write-mark', mark: aMark({ line: 'line-9' }) },
      told: 'COMMAND_REFUSED write-mark line: got line-9, expected a line of the configuration; nothing was changed',
    },
    {
      what: 'a hand sample on an unknown line',
      command: { kind: 'record-hand-sample', sample: aHandSample({ line: 'line-9' }) },
      told: 'COMMAND_REFUSED record-hand-sample line: got line-9, expected a line of the configuration; nothing was changed',
    },
    {
      what: 'the acknowledgement of no alarm',
      command: { kind: 'acknowledge-alarm', alarm: 'line-1.no.alarm' },
      told: 'COMMAND_REFUSED acknowledge-alarm line-1.no.alarm: got no such alarm, expected an alarm of the plant; look at the list again',
    },
  ])('is refused in full words and journalled so: $what', async ({ command, told }) => {
    const { carriedOut, records } = rig();
    expect(await carriedOut(command)).toEqual({ done: false, refused: told });
    expect((await records.commandJournal(ALL)).map(({ refused }) => refused)).toEqual([told]);
    expect(await records.lots(ALL)).toEqual([]);
  });

  it.each(['acknowledged', 'latched-acknowledged', 'shelved', 'suppressed-by-design', 'normal'] as const)(
    'is an acknowledgement of an alarm that is %s',
    async (state) => {
      const withheld = { shelved: SHELVED, 'suppressed-by-design': { suppressedBy: ['line-1.line.idle'] } };
      const more = Reflect.get(withheld, state) as Partial<AlarmMessage> | undefined;
      expect(await rig([anAlarm({ state, ...more })]).carriedOut(acknowledge)).toMatchObject({
        refused: `COMMAND_REFUSED acknowledge-alarm ${alarm.id}: got ${state}, expected a state in which one can acknowledge; nothing was changed; somebody may have been quicker`,
      });
    },
  );

  it.each(['unacknowledged', 'returned-unacknowledged', 'latched-unacknowledged'] as const)(
    'is no acknowledgement of an alarm that is %s',
    async (state) => {
      expect((await rig([anAlarm({ state })]).carriedOut(acknowledge)).done).toBe(true);
    },
  );

  it('is one more than a tick can hold, answered at once', async () => {
    const { queue } = rig([alarm]);
    for (let count = 0; count < 1000; count += 1) void queue.carryOut({ actor: ada, command: acknowledge });
    expect(await queue.carryOut({ actor: ada, command: acknowledge })).toEqual({
      done: false,
      refused: 'COMMAND_REFUSED commands waiting: got 1000, expected < 1000; try again in a second',
    });
  });
});

describe('a record store that fails', () => {
  const full = () => Promise.reject(new Error('disk full'));
  const failing = (calls: Partial<RecordStore>) => ({ ...memoryRecordStore(), ...calls });
  const NOT_KEPT =
    'COMMAND_REFUSED records: got disk full, expected a record that is kept; mend the disk and try again';

  it('is told to the asker when the record is not kept', async () => {
    const { carriedOut } = rig([], failing({ startLot: full }));
    expect(await carriedOut({ kind: 'start-lot', lot: aLot() })).toEqual({ done: false, refused: NOT_KEPT });
  });

  it('is told to the asker when the journal is not written', async () => {
    const { carriedOut } = rig([alarm], failing({ journalCommand: full }));
    expect(await carriedOut({ kind: 'write-mark', mark: aMark() })).toEqual({
      done: false,
      refused: NOT_KEPT,
    });
    expect(await carriedOut(acknowledge)).toEqual({ done: false, refused: NOT_KEPT });
  });

  it('does not stand before a refusal, which is told as it is', async () => {
    const { carriedOut } = rig([], failing({ journalCommand: full }));
    const refused = await carriedOut({ kind: 'end-lot', line: 'line-9' });
    expect(refused).toMatchObject({ refused: expect.stringContaining('end-lot line: got line-9') as string });
  });

  it('leaves nobody waiting: those behind are answered too', async () => {
    const { queue, work } = rig([], failing({ journalCommand: full }));
    const ask = (command: Command) => queue.carryOut({ actor: ada, command });
    const answers = [ask(acknowledge), ask({ kind: 'write-mark', mark: aMark() })];
    await work();
    expect((await Promise.all(answers)).map(({ done }) => done)).toEqual([false, false]);
  });
});
