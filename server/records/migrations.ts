import { Fault } from '../contract/faults.ts';
import type { Database } from './database.ts';

/** Marks a file as ours, so that a file of another kind is refused instead of being filled with our tables. */
const APPLICATION_ID = 0x53_57_52_43; // "SWRC" in ASCII.

/** Who wrote an entry and when, on every table. */
const WRITTEN = 'written_by TEXT NOT NULL, written_role TEXT NOT NULL, written_ms REAL NOT NULL';

/** A lot or shift begins with one entry and ends with another: nothing is overwritten when it ends. */
const spanTables = (name: string) => `
  CREATE TABLE ${name} (
    id INTEGER PRIMARY KEY AUTOINCREMENT, line TEXT NOT NULL, started_ms REAL NOT NULL, details TEXT NOT NULL,
    ${WRITTEN}
  ) STRICT;
  CREATE INDEX ${name}_by_time ON ${name} (started_ms);
  CREATE TABLE ${name}_end (
    id INTEGER PRIMARY KEY AUTOINCREMENT, ${name} INTEGER NOT NULL UNIQUE REFERENCES ${name} (id),
    ended_ms REAL NOT NULL, ${WRITTEN}
  ) STRICT;`;

const instantTable = (name: string) => `
  CREATE TABLE ${name} (
    id INTEGER PRIMARY KEY AUTOINCREMENT, line TEXT NOT NULL, time_ms REAL NOT NULL, details TEXT NOT NULL, ${WRITTEN}
  ) STRICT;
  CREATE INDEX ${name}_by_time ON ${name} (time_ms);`;

const TABLES = `
  PRAGMA application_id = ${APPLICATION_ID};
  ${spanTables('lot')}
  ${spanTables('shift')}
  ${instantTable('mark')}
  ${instantTable('hand_sample')}
  CREATE TABLE alarm_transition (
    id INTEGER PRIMARY KEY AUTOINCREMENT, alarm TEXT NOT NULL, line TEXT NOT NULL, time_ms REAL NOT NULL,
    written_by TEXT, details TEXT NOT NULL
  ) STRICT;
  CREATE INDEX alarm_transition_by_time ON alarm_transition (time_ms);
  CREATE TABLE alarm_standing (alarm TEXT PRIMARY KEY, details TEXT NOT NULL) STRICT, WITHOUT ROWID;
  CREATE TABLE command (
    id INTEGER PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, details TEXT NOT NULL, refused TEXT, ${WRITTEN}
  ) STRICT;
  CREATE INDEX command_by_time ON command (written_ms);`;

/** Tables of entries, with the columns that may not repeat. How alarms stand now is a state, and not among them. */
const ENTRIES: readonly (readonly [table: string, ...keys: readonly string[]])[] = [
  ['lot', 'id'],
  ['lot_end', 'id', 'lot'],
  ['shift', 'id'],
  ['shift_end', 'id', 'shift'],
  ['mark', 'id'],
  ['hand_sample', 'id'],
  ['alarm_transition', 'id'],
  ['command', 'id'],
];

/** INSERT OR REPLACE removes a row without a word to the triggers on DELETE, so insertion is guarded too. */
function guardsOf([table, ...keys]: readonly [table: string, ...keys: readonly string[]]): string {
  const refuse = `BEGIN SELECT RAISE(ABORT, 'entries are never changed or removed: ${table}'); END;`;
  const isThere = `EXISTS (SELECT 1 FROM ${table} WHERE ${keys.map((key) => `${key} = NEW.${key}`).join(' OR ')})`;
  return `
  CREATE TRIGGER ${table}_is_not_changed BEFORE UPDATE ON ${table} ${refuse}
  CREATE TRIGGER ${table}_is_not_removed BEFORE DELETE ON ${table} ${refuse}
  CREATE TRIGGER ${table}_is_not_replaced BEFORE INSERT ON ${table} WHEN ${isThere} ${refuse}`;
}

/**
 * From here on an entry of the alarm journal says machine and subject in its details; older ones stay as they were
 * written, and what they lack is filled in when they are read. The index finds the last entry of each alarm.
 */
const ALARM_INDEX = 'CREATE INDEX alarm_transition_by_alarm ON alarm_transition (alarm, time_ms, id)';

/** What was normal for a machine, and what was found at it. */
const MACHINE_TABLES = ['machine_baseline', 'machine_finding']
  .map((table) => `${instantTable(table)}${guardsOf([table, 'id'])}`)
  .join('');

/**
 * Each takes a file from one version to the next, forward only: entry 0 makes version 1 of an empty file. What
 * stands here has been run on files in use; it is never edited, only appended to.
 */
export const MIGRATIONS: readonly string[] = [
  TABLES,
  ENTRIES.map(guardsOf).join(''),
  ALARM_INDEX,
  MACHINE_TABLES,
];

/** Brings the file to the newest version, each step whole or not at all. */
export function migrate(database: Database, file: string): void {
  expectReadable(database, file);
  const found = versionOf(database);
  for (const [index, migration] of MIGRATIONS.entries()) {
    if (index < found) continue;
    database.together(() => database.script(`${migration}; PRAGMA user_version = ${index + 1};`));
  }
}

/** Refuses a file of another kind, or of a program that is newer than this one. */
export function expectReadable(database: Database, file: string): void {
  expectOurs(database, file);
  const found = versionOf(database);
  if (found <= MIGRATIONS.length) return;
  throw new Fault('RECORDS_NEWER', {
    subject: `${file} version`,
    got: found,
    expected: `at most ${MIGRATIONS.length}`,
    remedy: 'nothing was changed; start the newer program again, or restore the backup made before it ran',
  });
}

export function versionOf(database: Database): number {
  return Number(database.rows('PRAGMA user_version')[0]?.['user_version']);
}

function expectOurs(database: Database, file: string): void {
  const isEmpty = database.rows('SELECT 1 FROM sqlite_schema LIMIT 1').length === 0;
  const id = Number(database.rows('PRAGMA application_id')[0]?.['application_id']);
  if (isEmpty || id === APPLICATION_ID) return;
  throw new Fault('RECORDS_UNWRITABLE', {
    subject: file,
    got: 'a database of another kind',
    expected: 'a records file, or none',
    remedy: 'nothing was changed; name another file for the records',
  });
}
