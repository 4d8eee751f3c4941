import { DatabaseSync } from 'node:sqlite';
import { beforeAll, describe, expect, it } from 'vitest';
import { openRecordStore } from '#server/records/open-record-store.ts';
import {
  aBaseline,
  aFindingEntry,
  aHandSample,
  aLot,
  aMark,
  anAlarm,
  aTransition,
  said,
} from '#tests/support/record-builders.ts';
import { recordsFolder } from './records-folder.ts';

const newFile = recordsFolder();
const ENTRIES = [
  'lot',
  'lot_end',
  'shift',
  'shift_end',
  'mark',
  'hand_sample',
  'machine_baseline',
  'machine_finding',
  'alarm_transition',
  'command',
];

/** A file with at least one entry in every table. */
async function fullFile(): Promise<string> {
  const file = newFile();
  const store = openRecordStore({ file });
  for (const minute of [0, 1]) {
    await store.startLot(aLot(), said(minute));
    await store.startShift('line-1', 'early', said(minute));
  }
  await store.writeMark(aMark(), said(0));
  await store.recordHandSample(aHandSample(), said(0));
  await store.writeBaseline(aBaseline(), said(0));
  await store.writeFinding(aFindingEntry(), said(0));
  await store.journalAlarms([aTransition()], [anAlarm()]);
  await store.journalCommand({ kind: 'end-lot', line: 'line-1' }, said(0), null);
  await store.close();
  return file;
}

describe('the records file', () => {
  let sqlite: DatabaseSync;
  beforeAll(async () => {
    sqlite = new DatabaseSync(await fullFile());
    return () => sqlite.close();
  });

  it('has these tables of entries and one of state, and no others', () => {
    const tables = sqlite.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").all();
    expect(tables.map(({ name }) => name).filter((name) => name !== 'sqlite_sequence')).toEqual(
      [...ENTRIES, 'alarm_standing'].sort(),
    );
  });

  it.each(ENTRIES)('refuses to change, remove or replace what is in %s, whoever asks', (table) => {
    const before = sqlite.prepare(`SELECT * FROM ${table}`).all();
    expect(before.length).toBeGreaterThan(0);
    const refusal = `entries are never changed or removed: ${table}`;
    expect(() => sqlite.exec(`UPDATE ${table} SET id = id + 100`)).toThrow(refusal);
    expect(() => sqlite.exec(`DELETE FROM ${table}`)).toThrow(refusal);
    expect(() => sqlite.exec(`INSERT OR REPLACE INTO ${table} SELECT * FROM ${table}`)).toThrow(refusal);
    expect(sqlite.prepare(`SELECT * FROM ${table}`).all()).toEqual(before);
  });

  it.each(['lot', 'shift'])('lets a %s end once, whichever id the second ending has', (kind) => {
    const again = `INSERT OR REPLACE INTO ${kind}_end SELECT 100, ${kind}, 0, written_by, written_role, 0 FROM ${kind}_end`;
    expect(() => sqlite.exec(again)).toThrow(`entries are never changed or removed: ${kind}_end`);
  });

  it('never gives the id of an entry to another', () => {
    const ids = sqlite
      .prepare("SELECT count(*) AS n FROM sqlite_schema WHERE sql LIKE '%AUTOINCREMENT%'")
      .get();
    expect(ids?.['n']).toBe(ENTRIES.length);
  });
});

describe('openRecordStore', () => {
  it('keeps a write-ahead log', async () => {
    const sqlite = new DatabaseSync(await fullFile());
    expect(sqlite.prepare('PRAGMA journal_mode').get()).toEqual({ journal_mode: 'wal' });
    sqlite.close();
  });

  it('says which entry was tampered with instead of answering it', async () => {
    const file = await fullFile();
    const sqlite = new DatabaseSync(file);
    sqlite.exec('DROP TRIGGER mark_is_not_changed');
    sqlite.exec(`UPDATE mark SET details = json_set(details, '$.kind', 'rumour')`);
    sqlite.close();
    const store = openRecordStore({ file });
    await expect(store.marks({ fromMs: 0, toMs: Number.MAX_SAFE_INTEGER })).rejects.toThrow(
      /^RECORDS_DAMAGED mark 1\/kind: got .*rumour.*, expected .*; restore the records from a backup/,
    );
    await store.close();
  });

  it('writes nothing that it could not read again', async () => {
    const store = openRecordStore({ file: newFile() });
    await expect(store.writeMark(aMark({ text: '' }), said(0))).rejects.toThrow(
      /^RECORDS_DAMAGED mark 1\/text: got/,
    );
    await expect(store.startLot(aLot({ massKgPlanned: Number.NaN }), said(0))).resolves.toMatchObject({
      massKgPlanned: null,
    });
    await expect(store.journalAlarms([aTransition()], [anAlarm({ raisedMs: Number.NaN })])).rejects.toThrow(
      /^RECORDS_DAMAGED alarm_standing line-1.destoner.stopped\/raisedMs/,
    );
    const ever = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
    expect([await store.marks(ever), await store.alarmJournal(ever)]).toEqual([[], []]);
    await store.close();
  });
});
