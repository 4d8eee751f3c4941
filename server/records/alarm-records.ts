import { Compile } from 'typebox/compile';
import {
  AlarmMessageSchema,
  AlarmTransitionSchema,
  type AlarmMessage,
  type AlarmTransition,
} from '../contract/alarm-message.ts';
import type { TimeRange } from '../ports/record-store.ts';
import type { Database, Row } from './database.ts';
import { detailsIn, expectFit } from './stored-entry.ts';

const transitionCheck = Compile(AlarmTransitionSchema);
const standingCheck = Compile(AlarmMessageSchema);

const INSERT =
  'INSERT INTO alarm_transition (alarm, line, time_ms, written_by, details) VALUES (?, ?, ?, ?, ?)';
const STAND = 'INSERT OR REPLACE INTO alarm_standing (alarm, details) VALUES (?, ?)';
const CLEAR = 'DELETE FROM alarm_standing WHERE alarm = ?';

export interface AlarmRecords {
  journal(transitions: readonly AlarmTransition[], standing: readonly AlarmMessage[]): void;
  within(range: TimeRange): readonly AlarmTransition[];
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
        .map((row) => expectFit(transitionCheck, detailsIn(row), `alarm_transition ${String(row['id'])}`)),
    standing: () => database.rows('SELECT * FROM alarm_standing').map(standingOf).toSorted(inOrderOfRaising),
  };
}

function standingOf(row: Row): AlarmMessage {
  return expectFit(standingCheck, detailsIn(row), `alarm_standing ${String(row['alarm'])}`);
}

function inOrderOfRaising(one: AlarmMessage, other: AlarmMessage): number {
  return one.raisedMs - other.raisedMs || (one.id < other.id ? -1 : 1);
}
