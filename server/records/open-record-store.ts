import { Compile } from 'typebox/compile';
import {
  HandSampleSchema,
  LotSchema,
  MarkSchema,
  ShiftSchema,
  type HandSampleDetails,
  type Lot,
  type LotDetails,
  type MarkDetails,
  type Shift,
} from '../contract/records.ts';
import type { RecordStore } from '../ports/record-store.ts';
import { alarmRecords } from './alarm-records.ts';
import { commandJournal } from './command-journal.ts';
import { openDatabase, type Database } from './database.ts';
import { instantRecords } from './instant-records.ts';
import { migrate } from './migrations.ts';
import { spanRecords } from './span-records.ts';

export interface RecordStoreOptions {
  /** Made when it is not there; its folder must be. */
  readonly file: string;
}

type ShiftDetails = Pick<Shift, 'line' | 'name'>;

const lotCheck = Compile(LotSchema);
const shiftCheck = Compile(ShiftSchema);
const markCheck = Compile(MarkSchema);
const handSampleCheck = Compile(HandSampleSchema);

/** Opens the records, bringing an older file to the newest version first. */
export function openRecordStore({ file }: RecordStoreOptions): RecordStore {
  const database = openDatabase(file);
  try {
    migrate(database, file);
    return recordStore(database);
  } catch (error) {
    database.close();
    throw error;
  }
}

// The methods are asynchronous because their port is: another store of records will be further away. Being
// `async` also turns what is thrown here into a rejection.
/* eslint-disable @typescript-eslint/require-await */
function recordStore(database: Database): RecordStore {
  const lots = spanRecords<LotDetails, Lot>(database, { table: 'lot', check: lotCheck });
  const shifts = spanRecords<ShiftDetails, Shift>(database, { table: 'shift', check: shiftCheck });
  const marks = instantRecords(database, {
    table: 'mark',
    check: markCheck,
    timeMsOf: ({ timeMs }: MarkDetails) => timeMs,
  });
  const handSamples = instantRecords(database, {
    table: 'hand_sample',
    check: handSampleCheck,
    timeMsOf: ({ takenMs }: HandSampleDetails) => takenMs,
  });
  const alarms = alarmRecords(database);
  const commands = commandJournal(database);

  return {
    startLot: async (details, by) => lots.start(details, by),
    endLot: async (line, by) => lots.end(line, by),
    runningLots: async () => lots.running(),
    lots: async (range) => lots.within(range),
    startShift: async (line, name, by) => shifts.start({ line, name }, by),
    runningShifts: async () => shifts.running(),
    shifts: async (range) => shifts.within(range),
    writeMark: async (details, by) => marks.write(details, by),
    marks: async (range) => marks.within(range),
    recordHandSample: async (details, by) => handSamples.write(details, by),
    handSamples: async (range) => handSamples.within(range),
    journalAlarms: async (transitions, standing) => alarms.journal(transitions, standing),
    alarmJournal: async (range) => alarms.within(range),
    standingAlarms: async () => alarms.standing(),
    journalCommand: async (command, by, refused) => commands.write(command, by, refused),
    commandJournal: async (range) => commands.within(range),
    close: async () => database.close(),
  };
}
/* eslint-enable @typescript-eslint/require-await */
