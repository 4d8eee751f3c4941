import type { AlarmMessage, AlarmTransition } from '#server/contract/alarm-message.ts';
import type { HandSample, Lot, Mark, Shift } from '#server/contract/records.ts';
import type { FindingEntry, MachineBaseline } from '#server/contract/machine-records.ts';
import type { JournalEntry } from '#server/contract/alarm-journal.ts';
import type {
  Authorship,
  JournalledCommand,
  JournalPlace,
  JournalQuestion,
  RecordRange,
  RecordStore,
  TimeRange,
} from '#server/ports/record-store.ts';

interface Span {
  readonly id: number;
  readonly line: string;
  readonly startedMs: number;
  readonly endedMs: number | null;
}

/** The records without a file, for tests of what uses them; the suite in tests/stores holds for it too. */
export function memoryRecordStore(): RecordStore {
  const lots = spans<Lot>();
  const shifts = spans<Shift>();
  const marks: Mark[] = [];
  const handSamples: HandSample[] = [];
  const baselines: MachineBaseline[] = [];
  const findings: FindingEntry[] = [];
  const transitions: AlarmTransition[] = [];
  const standing = new Map<string, AlarmMessage>();
  const commands: JournalledCommand[] = [];
  let isClosed = false;

  /** A copy on the way in and out, as if through a file; rejects once closed. */
  async function answer<Answer>(work: () => Answer): Promise<Answer> {
    await Promise.resolve();
    if (isClosed) throw new Error('The record store is closed.');
    return structuredClone(work());
  }

  function journalAlarms(news: readonly AlarmTransition[], alarms: readonly AlarmMessage[]): void {
    for (const entry of news) {
      transitions.push(structuredClone(entry));
      if (entry.to === 'normal') standing.delete(entry.alarm);
    }
    for (const alarm of alarms) {
      if (alarm.state === 'normal') standing.delete(alarm.id);
      else standing.set(alarm.id, structuredClone(alarm));
    }
  }

  return {
    startLot: (details, by) =>
      answer(() => lots.start(details.line, by, (written) => ({ ...written, ...structuredClone(details) }))),
    endLot: (line, by) => answer(() => lots.end(line, by)),
    runningLots: () => answer(() => lots.running()),
    lots: (range) => answer(() => paged(lots.within(range), range, ({ startedMs }) => startedMs)),
    startShift: (line, name, by) =>
      answer(() => shifts.start(line, by, (written) => ({ ...written, line, name }))),
    runningShifts: () => answer(() => shifts.running()),
    shifts: (range) => answer(() => paged(shifts.within(range), range, ({ startedMs }) => startedMs)),
    writeMark: (details, by) =>
      answer(() => added(marks, { ...writtenBy(marks.length + 1, by), ...structuredClone(details) })),
    marks: (range) => answer(() => pageWithin(marks, range, ({ timeMs }) => timeMs)),
    recordHandSample: (details, by) =>
      answer(() =>
        added(handSamples, { ...writtenBy(handSamples.length + 1, by), ...structuredClone(details) }),
      ),
    handSamples: (range) => answer(() => pageWithin(handSamples, range, ({ takenMs }) => takenMs)),
    writeBaseline: (details, by) =>
      answer(() => added(baselines, { ...writtenBy(baselines.length + 1, by), ...structuredClone(details) })),
    baselines: (range) => answer(() => pageWithin(baselines, range, ({ timeMs }) => timeMs)),
    writeFinding: (details, by) =>
      answer(() => added(findings, { ...writtenBy(findings.length + 1, by), ...structuredClone(details) })),
    findings: (range) => answer(() => pageWithin(findings, range, ({ timeMs }) => timeMs)),
    journalAlarms: (news, alarms) => answer(() => journalAlarms(news, alarms)),
    alarmJournal: (range) => answer(() => within(transitions, range, ({ timeMs }) => timeMs)),
    alarmEntries: (question) => answer(() => pageOf(numbered(transitions), question)),
    lastAlarmEntries: (beforeMs) =>
      answer(() => {
        const last = new Map<string, JournalEntry>();
        for (const entry of numbered(transitions).toSorted(inOrder))
          if (entry.timeMs < beforeMs) last.set(entry.alarm, entry);
        return [...last.values()].toSorted(inOrder);
      }),
    standingAlarms: () =>
      answer(() =>
        [...standing.values()].toSorted((a, b) => a.raisedMs - b.raisedMs || (a.id < b.id ? -1 : 1)),
      ),
    journalCommand: (command, by, refused) =>
      answer(() => {
        commands.push(structuredClone({ id: commands.length + 1, by, command, refused }));
      }),
    commandJournal: (range) => answer(() => within(commands, range, ({ by }) => by.timeMs)),
    close() {
      isClosed = true;
      return Promise.resolve();
    },
  };
}

function numbered(transitions: readonly AlarmTransition[]): readonly JournalEntry[] {
  return transitions.map((entry, index) => ({ id: index + 1, ...entry }));
}

function inOrder(one: JournalPlace, other: JournalPlace): number {
  return one.timeMs - other.timeMs || one.id - other.id;
}

function pageOf(entries: readonly JournalEntry[], question: JournalQuestion): readonly JournalEntry[] {
  const { order, after, limit } = question;
  const sign = order === 'oldest-first' ? 1 : -1;
  return within(entries, question, ({ timeMs }) => timeMs)
    .toSorted((one, other) => sign * inOrder(one, other))
    .filter((entry) => after === null || sign * inOrder(entry, after) > 0)
    .slice(0, limit);
}

function spans<Kind extends Span>() {
  const all: Kind[] = [];
  const runningOn = (line: string) => all.find((span) => span.line === line && span.endedMs === null);

  function end(line: string, by: Authorship): Kind | null {
    const running = runningOn(line);
    if (running === undefined) return null;
    const ended = { ...running, endedMs: Math.max(running.startedMs, by.timeMs) };
    all[all.indexOf(running)] = ended;
    return ended;
  }

  return {
    end,
    start(line: string, by: Authorship, make: (written: ReturnType<typeof startedBy>) => Kind): Kind {
      const ended = end(line, by);
      return added(all, make(startedBy(all.length + 1, by, ended?.endedMs ?? by.timeMs)));
    },
    running: () =>
      all.filter(({ endedMs }) => endedMs === null).toSorted((a, b) => a.startedMs - b.startedMs),
    within: ({ fromMs, toMs }: TimeRange) =>
      all
        .filter((span) => span.startedMs < toMs)
        .filter((span) => span.endedMs === null || span.endedMs > fromMs || span.startedMs >= fromMs)
        .toSorted((a, b) => a.startedMs - b.startedMs),
  };
}

function writtenBy(id: number, { actor, timeMs }: Authorship) {
  return { id, writtenBy: { ...actor }, writtenMs: timeMs };
}

function startedBy(id: number, by: Authorship, startedMs: number) {
  return { ...writtenBy(id, by), startedMs, endedMs: null };
}

function added<Entry>(list: Entry[], entry: Entry): Entry {
  list.push(entry);
  return entry;
}

function pageWithin<Entry extends { readonly id: number }>(
  list: readonly Entry[],
  range: RecordRange,
  timeMsOf: (entry: Entry) => number,
): Entry[] {
  return paged(within(list, range, timeMsOf), range, timeMsOf);
}

/** What of a list in ascending order comes after the place, and no more than asked for. */
function paged<Entry extends { readonly id: number }>(
  list: readonly Entry[],
  { after, limit }: RecordRange,
  timeMsOf: (entry: Entry) => number,
): Entry[] {
  const rest = list.filter(
    (entry) => after === undefined || inOrder({ timeMs: timeMsOf(entry), id: entry.id }, after) > 0,
  );
  return rest.slice(0, limit);
}

function within<Entry>(
  list: readonly Entry[],
  range: TimeRange,
  timeMsOf: (entry: Entry) => number,
): Entry[] {
  return list
    .filter((entry) => timeMsOf(entry) >= range.fromMs && timeMsOf(entry) < range.toMs)
    .toSorted((a, b) => timeMsOf(a) - timeMsOf(b));
}
