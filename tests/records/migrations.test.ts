import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { DatabaseSync } from 'node:sqlite';
import { describe, expect, it } from 'vitest';
import { openDatabase } from '#server/records/database.ts';
import { migrate, MIGRATIONS, versionOf } from '#server/records/migrations.ts';
import { openRecordStore } from '#server/records/open-record-store.ts';
import { recordsFolder } from './records-folder.ts';

const VERSIONS = new URL('versions/', import.meta.url);
const newFile = recordsFolder();
const EVER = { fromMs: 0, toMs: Number.MAX_SAFE_INTEGER };
const EARLIER = MIGRATIONS.slice(1).map((_, index) => index + 1);

/** A file as an earlier version left it. */
function fileOfVersion(version: number): string {
  const file = newFile();
  const sqlite = new DatabaseSync(file);
  sqlite.exec(readFileSync(new URL(`version-${version}.sql`, VERSIONS), 'utf8'));
  sqlite.close();
  return file;
}

function shapeOf(file: string): readonly string[] {
  const sqlite = new DatabaseSync(file, { readOnly: true });
  const rows = sqlite.prepare('SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name').all();
  sqlite.close();
  return rows.map((row) => String(row['sql']).replace(/\s+/g, ' ').replace(/\( /g, '(').replace(/ \)/g, ')'));
}

function entriesOf(file: string): readonly unknown[] {
  const sqlite = new DatabaseSync(file, { readOnly: true });
  const rows = sqlite.prepare('SELECT * FROM alarm_transition').all();
  sqlite.close();
  return rows;
}

async function opened(file: string): Promise<string> {
  await openRecordStore({ file }).close();
  return file;
}

describe('migrate', () => {
  it('makes an empty file one of the newest version', async () => {
    const file = await opened(newFile());
    const database = openDatabase(file);
    expect(versionOf(database)).toBe(MIGRATIONS.length);
    database.close();
  });

  it('has a file of every earlier version to be tested with', () => {
    expect(readdirSync(VERSIONS).sort()).toEqual(EARLIER.map((version) => `version-${version}.sql`));
  });

  it.each(EARLIER)('gives a file of version %i the same shape as one made anew', async (version) => {
    const shape = shapeOf(await opened(fileOfVersion(version)));
    expect(shape.length).toBeGreaterThan(10);
    expect(shape).toEqual(shapeOf(await opened(newFile())));
  });

  it('keeps every entry of a file of version 1', async () => {
    const store = openRecordStore({ file: fileOfVersion(1) });
    const lots = await store.lots(EVER);
    expect(lots.map(({ number, endedMs }) => [number, endedMs])).toEqual([
      ['QM-0417', 1_789_369_200_000],
      ['QM-0418', null],
    ]);
    expect(await store.runningShifts()).toMatchObject([{ name: 'early', startedMs: 1_789_365_600_000 }]);
    expect(await store.marks(EVER)).toMatchObject([
      { machine: 'gravity-table', writtenMs: 1_789_366_060_000 },
    ]);
    expect(await store.handSamples(EVER)).toMatchObject([
      { results: { moisture: { value: 0.122, unit: '1' } } },
    ]);
    expect(await store.alarmJournal(EVER)).toMatchObject([{ alarm: 'line-1.destoner.stopped' }]);
    expect(await store.standingAlarms()).toMatchObject([{ state: 'unacknowledged' }]);
    expect(await store.commandJournal(EVER)).toMatchObject([{ command: { kind: 'end-lot' } }]);
    await store.close();
  });

  it('fills in machine and subject of alarm entries from before version 3 without touching them', async () => {
    const file = fileOfVersion(2);
    const written = entriesOf(file);
    const store = openRecordStore({ file });
    const filled = { machine: 'destoner', subject: 'line-1.destoner.stopped' };
    expect(await store.alarmJournal(EVER)).toMatchObject([filled]);
    expect(await store.lastAlarmEntries(EVER.toMs)).toMatchObject([{ id: 1, ...filled }]);
    await store.close();
    expect(entriesOf(file)).toEqual(written);
  });

  it('leaves a file at its version when a step fails half-way, so that the step can be tried again', () => {
    const file = fileOfVersion(1);
    const sqlite = new DatabaseSync(file);
    sqlite.exec('DROP TABLE command'); // The second step puts guards on it, after those on all other tables.
    sqlite.close();
    const before = shapeOf(file);
    const database = openDatabase(file);
    expect(() => migrate(database, file)).toThrow('no such table: main.command');
    expect(versionOf(database)).toBe(1);
    database.close();
    expect(shapeOf(file)).toEqual(before);
  });

  it('refuses a file of a newer version and leaves it as it is', () => {
    const file = newFile();
    const newer = MIGRATIONS.length + 1;
    const sqlite = new DatabaseSync(file);
    sqlite.exec(`CREATE TABLE lot (id); PRAGMA application_id = 0x53575243; PRAGMA user_version = ${newer}`);
    sqlite.close();
    expect(() => openRecordStore({ file })).toThrow(
      `RECORDS_NEWER ${file} version: got ${newer}, expected at most ${MIGRATIONS.length}; nothing was changed; ` +
        'start the newer program again, or restore the backup made before it ran',
    );
    expect(shapeOf(file)).toEqual(['CREATE TABLE lot (id)']);
  });

  it('refuses a database of another kind and leaves it as it is', () => {
    const file = newFile();
    const sqlite = new DatabaseSync(file);
    sqlite.exec('CREATE TABLE journal (seq)');
    sqlite.close();
    expect(() => openRecordStore({ file })).toThrow(
      `RECORDS_UNWRITABLE ${file}: got a database of another kind, expected a records file, or none; ` +
        'nothing was changed; name another file for the records',
    );
    expect(shapeOf(file)).toEqual(['CREATE TABLE journal (seq)']);
  });

  it('refuses a file that is no database', () => {
    const file = newFile();
    writeFileSync(file, 'lots: []\n'.repeat(1000));
    expect(() => openRecordStore({ file })).toThrow(`RECORDS_UNWRITABLE ${file}: got a file of another kind`);
    expect(readFileSync(file, 'utf8')).toMatch(/^lots/);
  });

  it('refuses a file in a folder that is not there', () => {
    const file = `${newFile()}/no/such/folder`;
    expect(() => openRecordStore({ file })).toThrow(
      `RECORDS_UNWRITABLE ${file}: got a file that cannot be opened`,
    );
  });
});
