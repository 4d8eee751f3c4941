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
import {
  FindingEntrySchema,
  MachineBaselineSchema,
  type BaselineDetails,
  type FindingEntryDetails,
} from '../contract/machine-records.ts';
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
const baselineCheck = Compile(MachineBaselineSchema);
const findingCheck = Compile(FindingEntrySchema);

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
  const baselines = instantRecords(database, {
    table: 'machine_baseline',
    check: baselineCheck,
    timeMsOf: ({ timeMs }: BaselineDetails) => timeMs,
  });
  const findings = instantRecords(database, {
    table: 'machine_finding',
    check: findingCheck,
    timeMsOf: ({ timeMs }: FindingEntryDetails) => timeMs,
  });
  const commands = commandJournal(database);

  return {
    startLot: (details, by) => promised(() => lots.start(details, by)),
    endLot: (line, by) => promised(() => lots.end(line, by)),
    runningLots: () => promised(() => lots.running()),
    lots: (range) => promised(() => lots.within(range)),
    startShift: (line, name, by) => promised(() => shifts.start({ line, name }, by)),
    runningShifts: () => promised(() => shifts.running()),
    shifts: (range) => promised(() => shifts.within(range)),
    writeMark: (details, by) => promised(() => marks.write(details, by)),
    marks: (range) => promised(() => marks.within(range)),
    recordHandSample: (details, by) => promised(() => handSamples.write(details, by)),
    handSamples: (range) => promised(() => handSamples.within(range)),
    writeBaseline: (details, by) => promised(() => baselines.write(details, by)),
    baselines: (range) => promised(() => baselines.within(range)),
    writeFinding: (details, by) => promised(() => findings.write(details, by)),
    findings: (range) => promised(() => findings.within(range)),
    ...alarmStore(database),
    journalCommand: (command, by, refused) => promised(() => commands.write(command, by, refused)),
    commandJournal: (range) => promised(() => commands.within(range)),
    close: () => promised(() => database.close()),
  };
}

type AlarmMethods = 'journalAlarms' | 'alarmJournal' | 'alarmEntries' | 'lastAlarmEntries' | 'standingAlarms';

function alarmStore(database: Database): Pick<RecordStore, AlarmMethods> {
  const alarms = alarmRecords(database);
  return {
    journalAlarms: (transitions, standing) => promised(() => alarms.journal(transitions, standing)),
    alarmJournal: (range) => promised(() => alarms.within(range)),
    alarmEntries: (question) => promised(() => alarms.page(question)),
    lastAlarmEntries: (beforeMs) => promised(() => alarms.last(beforeMs)),
    standingAlarms: () => promised(() => alarms.standing()),
  };
}

/**
 * The methods are asynchronous because their port is: another store of records will be further away. The work is
 * done at once; what it throws becomes a rejection.
 */
function promised<Answer>(work: () => Answer): Promise<Answer> {
  return new Promise((resolve) => resolve(work()));
}
