import { Compile } from 'typebox/compile';
import { JournalEntrySchema, type JournalEntry } from '../contract/alarm-journal.ts';
import {
  AlarmMessageSchema,
  AlarmTransitionSchema,
  type AlarmMessage,
  type AlarmTransition,
} from '../contract/alarm-message.ts';
import type { JournalQuestion, TimeRange } from '../ports/record-store.ts';
import type { Database, Row } from './database.ts';
import { detailsIn, expectFit } from './stored-entry.ts';

const transitionCheck = Compile(AlarmTransitionSchema);
const entryCheck = Compile(JournalEntrySchema);
const standingCheck = Compile(AlarmMessageSchema);

const INSERT =
  'INSERT INTO alarm_transition (alarm, line, time_ms, written_by, details) VALUES (?, ?, ?, ?, ?)';
const STAND = 'INSERT OR REPLACE INTO alarm_standing (alarm, details) VALUES (?, ?)';
const PAGE = {
  'oldest-first': pageOf('>', 'ASC'),
  'newest-first': pageOf('<', 'DESC'),
} as const;
const LAST = `
  SELECT entry.* FROM (SELECT DISTINCT alarm FROM alarm_transition) AS known
  JOIN alarm_transition AS entry ON entry.id = (
    SELECT id FROM alarm_transition WHERE alarm = known.alarm AND time_ms < ? ORDER BY time_ms DESC, id DESC LIMIT 1
  ) ORDER BY entry.time_ms, entry.id`;
const CLEAR = 'DELETE FROM alarm_standing WHERE alarm = ?';

export interface AlarmRecords {
  journal(transitions: readonly AlarmTransition[], standing: readonly AlarmMessage[]): void;
  within(range: TimeRange): readonly AlarmTransition[];
  page(question: JournalQuestion): readonly JournalEntry[];
  last(beforeMs: number): readonly JournalEntry[];
  standing(): readonly AlarmMessage[];
}

/**
 * The journal says what happened to alarms and is only ever added to. Beside it stands how each alarm is now:
 * an alarm whose transition leads to normal is forgotten there, whether or not `standing` names it again.
 */
export function alarmRecords(database: Database): AlarmRecords {
  function write(entry: AlarmTransition): void {
    expectFit(transitionCheck, entry, `alarm_transition of ${entry.alarm}`);
    database.run(INSERT, [entry.alarm, entry.line, entry.timeMs, entry.by, JSON.stringify(entry)]);
    if (entry.to === 'normal') database.run(CLEAR, [entry.alarm]);
  }

  function stand(alarm: AlarmMessage): void {
    expectFit(standingCheck, alarm, `alarm_standing ${alarm.id}`);
    if (alarm.state === 'normal') database.run(CLEAR, [alarm.id]);
    else database.run(STAND, [alarm.id, JSON.stringify(alarm)]);
  }

  return {
    journal(transitions, standing) {
      database.together(() => {
        transitions.forEach(write);
        standing.forEach(stand);
      });
    },
    within: ({ fromMs, toMs }) =>
      database
        .rows('SELECT * FROM alarm_transition WHERE time_ms >= ? AND time_ms < ? ORDER BY time_ms, id', [
          fromMs,
          toMs,
        ])
        .map((row) => expectFit(transitionCheck, transitionIn(row), `alarm_transition ${String(row['id'])}`)),
    page: ({ order, after, fromMs, toMs, limit }) => {
      const start = after ?? (order === 'oldest-first' ? BEFORE_ALL : AFTER_ALL);
      const values = [fromMs, toMs, start.timeMs, start.id, limit];
      return database.rows(PAGE[order], values).map(entryOf);
    },
    last: (beforeMs) => database.rows(LAST, [beforeMs]).map(entryOf),
    standing: () => database.rows('SELECT * FROM alarm_standing').map(standingOf).toSorted(inOrderOfRaising),
  };
}

const BEFORE_ALL = { timeMs: -1, id: -1 };
const AFTER_ALL = { timeMs: Number.MAX_SAFE_INTEGER, id: Number.MAX_SAFE_INTEGER };

function pageOf(beyond: '<' | '>', direction: 'ASC' | 'DESC'): string {
  return `SELECT * FROM alarm_transition WHERE time_ms >= ? AND time_ms < ? AND (time_ms, id) ${beyond} (?, ?)
    ORDER BY time_ms ${direction}, id ${direction} LIMIT ?`;
}

function entryOf(row: Row): JournalEntry {
  const id = row['id'];
  return expectFit(entryCheck, { id, ...transitionIn(row) }, `alarm_transition ${String(id)}`);
}

/** An entry of before version 3 says neither machine nor subject: the first stands in its alarm's id. */
function transitionIn(row: Row): object {
  const details = detailsIn(row);
  if ('subject' in details && 'machine' in details) return details;
  const alarm = String(row['alarm']);
  const machine = alarm.split('.')[1] ?? 'line';
  return { machine: machine === 'line' ? null : machine, subject: alarm, ...details };
}

function standingOf(row: Row): AlarmMessage {
  return expectFit(standingCheck, detailsIn(row), `alarm_standing ${String(row['alarm'])}`);
}

function inOrderOfRaising(one: AlarmMessage, other: AlarmMessage): number {
  return one.raisedMs - other.raisedMs || (one.id < other.id ? -1 : 1);
}
