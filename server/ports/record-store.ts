import type { JournalEntry } from '../contract/alarm-journal.ts';
import type { AlarmMessage, AlarmTransition } from '../contract/alarm-message.ts';
import type { Command } from '../contract/commands.ts';
import type {
  BaselineDetails,
  FindingEntry,
  FindingEntryDetails,
  MachineBaseline,
} from '../contract/machine-records.ts';
import type {
  Actor,
  HandSample,
  HandSampleDetails,
  Lot,
  LotDetails,
  Mark,
  MarkDetails,
  Shift,
} from '../contract/records.ts';

export interface TimeRange {
  readonly fromMs: number;
  /** Exclusive. */
  readonly toMs: number;
}

/** Who says it and when it was said. */
export interface Authorship {
  readonly actor: Actor;
  readonly timeMs: number;
}

/** A place between two entries, as of the alarm journal, which stands in the order of time, then id. */
export type JournalPlace = Pick<JournalEntry, 'timeMs' | 'id'>;

export interface JournalQuestion extends TimeRange {
  readonly order: 'oldest-first' | 'newest-first';
  /** The entry after which, in that order, to go on; null begins. */
  readonly after: JournalPlace | null;
  readonly limit: number;
}

/** Which lots, shifts, marks or hand samples; they stand in the order of time, then id. */
export interface RecordRange extends TimeRange {
  /** The place after which to go on; left out, from the beginning. */
  readonly after?: JournalPlace;
  /** Most of one answer; left out, all. */
  readonly limit?: number;
}

/** One command as it was carried out or refused. */
export interface JournalledCommand {
  readonly id: number;
  readonly by: Authorship;
  readonly command: Command;
  /** The refusal's text, or null when it was done. */
  readonly refused: string | null;
}

/**
 * Everything that is not a sample. Each write is durable when it resolves and carries who and when; nothing is
 * overwritten, corrections are new entries. Reads answer in ascending time.
 */
export interface RecordStore {
  /** Ends the line's running lot, if any, at the same instant. */
  startLot(details: LotDetails, by: Authorship): Promise<Lot>;
  /** Resolves with null when no lot is running on the line. */
  endLot(line: string, by: Authorship): Promise<Lot | null>;
  /** The running lot of each line that has one. */
  runningLots(): Promise<readonly Lot[]>;
  lots(range: RecordRange): Promise<readonly Lot[]>;

  startShift(line: string, name: string, by: Authorship): Promise<Shift>;
  runningShifts(): Promise<readonly Shift[]>;
  shifts(range: RecordRange): Promise<readonly Shift[]>;

  writeMark(details: MarkDetails, by: Authorship): Promise<Mark>;
  marks(range: RecordRange): Promise<readonly Mark[]>;

  recordHandSample(details: HandSampleDetails, by: Authorship): Promise<HandSample>;
  handSamples(range: RecordRange): Promise<readonly HandSample[]>;

  /** A new baseline of a machine counts from its time on; the older ones stay to be looked up. */
  writeBaseline(details: BaselineDetails, by: Authorship): Promise<MachineBaseline>;
  baselines(range: RecordRange): Promise<readonly MachineBaseline[]>;
  writeFinding(details: FindingEntryDetails, by: Authorship): Promise<FindingEntry>;
  findings(range: RecordRange): Promise<readonly FindingEntry[]>;

  /**
   * Journals what happened to alarms and keeps how they stand after it, in one transaction, so that a restart
   * finds every alarm as it was.
   */
  journalAlarms(transitions: readonly AlarmTransition[], standing: readonly AlarmMessage[]): Promise<void>;
  alarmJournal(range: TimeRange): Promise<readonly AlarmTransition[]>;
  /** At most `limit` entries, so that a long journal is read piece by piece and nobody waits for all of it. */
  alarmEntries(question: JournalQuestion): Promise<readonly JournalEntry[]>;
  /** The last entry of each alarm before an instant. */
  lastAlarmEntries(beforeMs: number): Promise<readonly JournalEntry[]>;
  /** The alarms that were not normal when last journalled. */
  standingAlarms(): Promise<readonly AlarmMessage[]>;

  journalCommand(command: Command, by: Authorship, refused: string | null): Promise<void>;
  commandJournal(range: TimeRange): Promise<readonly JournalledCommand[]>;

  close(): Promise<void>;
}
